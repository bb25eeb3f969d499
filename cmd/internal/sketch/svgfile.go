package sketch

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"

	"dishwright/dish/measure/strict"
)

// SVGFile returns the data of the one path that a drawing holds, and where the
// path's element begins. The error is a strict.Faults.
func SVGFile(file string, data []byte) (d string, line, column int, err error) {
	x := xml.NewDecoder(bytes.NewReader(data))
	var faults strict.Faults
	fault := func(line, column int, hint, format string, args ...any) {
		faults = append(faults, strict.Fault{File: file, Line: line, Column: column, Message: fmt.Sprintf(format, args...), Hint: hint})
	}
	paths := 0
	for {
		l, c := x.InputPos()
		token, err := x.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			fault(l, c, "a drawing saved as plain SVG", "this is no SVG file: %s", err)
			break
		}
		start, ok := token.(xml.StartElement)
		if !ok {
			continue
		}
		for _, a := range start.Attr {
			if a.Name.Local == "transform" && len(faults) < mostFaults {
				fault(l, c, "apply the transformation to the path first", "%s is moved or scaled by a transform, which is not followed", start.Name.Local)
			}
			if start.Name.Local == "path" && a.Name.Local == "d" {
				if paths++; paths == 1 {
					d, line, column = a.Value, l, c
				} else if len(faults) < mostFaults {
					fault(l, c, "one path alone: the outline", "a second path; the first one is in line %d", line)
				}
			}
		}
	}
	if paths == 0 && len(faults) == 0 {
		fault(1, 1, "the outline as one path with its data in d", "the drawing has no path")
	}
	if len(faults) > 0 {
		return "", 0, 0, faults
	}
	return d, line, column, nil
}
