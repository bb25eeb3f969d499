// Package shop takes a job all the way: it plans, writes each program's text,
// reads the text back and finds out from what was read what the machine will
// do and leave. A job.Job goes in; a Result comes out, with the texts and one
// Report that both the printed text and the JSON are made from.
//
// No figure of the Report is that of the plan: all are those of the bytes.
package shop
