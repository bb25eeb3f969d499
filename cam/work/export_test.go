package work

// What the tests see of the room beside what it exports.
var TiltTakes = tiltTakes
