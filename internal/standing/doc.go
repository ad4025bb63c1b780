// Package standing reads the document of a job and says where it stands: what each of the two threads is and how sure that
// is, what contradicts, which part of the list joins both, and the one next step, the cheapest first.
//
// It decides nothing and changes nothing: the same document always stands at the same place. A chance is never taken from a
// decision, but from all readings and tries that the document holds; a decision is what the ring is made with.
package standing
