// Package bench serves the bench page: the whole job, from readings to files, on one local page.
//
// The page and everything it needs are embedded; it asks nothing of any other machine. What stands on the page stands in
// its address: every request carries the fields as a query, the server keeps nothing between requests, and no text of a
// request becomes a path or reaches the disk.
//
// Answers to what a person types are JSON with status 200, faults included, each beside the field it is about. Other
// statuses are for requests that our page does not make.
package bench
