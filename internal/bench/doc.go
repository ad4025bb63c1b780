// Package bench serves the bench page: the whole job, from readings to files, on one local page.
//
// The page and everything it needs are embedded; it asks nothing of any other machine. What stands on the page stands in
// its address: every request carries the fields as a query, the job's document packed among them, the server keeps nothing
// between requests but what trials taught, and no text of a request becomes a path or reaches the disk.
//
// The fields are laid over the document (sheet): a field that says what the document says changes nothing, so that a file is
// saved as it was opened but for what a person changed. Whatever changes the document itself is an edit (job.go) and answers
// with the query of the page then.
//
// Answers to what a person types are JSON with status 200, faults included, each beside the field it is about. Other
// statuses are for requests that our page does not make.
//
// A handler turns a Request into an Answer and knows no network (request.go). Two ways carry them: net/http, with guard and
// gate (http.go), and a page's own worker, for which nothing of net/http is linked.
package bench
