// Package web is the local page: it answers what-ifs while a slider is moved. It decides what an address means, who may ask, how much is played
// at a time, and how an answer grows from coarse to fine. What is played and measured is left to study, words and charts to report, the shipped
// fighters, plans and questions to the caller.
//
// Order of reading: state (the address), moved (sliders in it), people and folder and upload (what can be chosen), ask (from a state to a
// comparison), sliders, answer and sentence (the picture), queue and run (playing it), export, guard (who may ask) and server (the routes).
// The page itself is in static: plain files, no build step.
package web
