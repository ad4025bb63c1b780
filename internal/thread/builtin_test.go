package thread

// Parse, All and Search ask the tables that come with the program.
func Parse(text string) (Thread, error) { return builtIn().Parse(text) }
func All() []Thread                     { return builtIn().All() }
func Search(text string) []Thread       { return builtIn().Search(text) }
