// Package manual makes what explains the program to people and to editors: what a key
// of a job file does, the reference of all keys, the man page, and the JSON Schema.
//
// In come the catalogue of keys and the commands, out go texts. Nothing here is
// written by hand twice: a key that is added to the catalogue stands in all of them.
package manual
