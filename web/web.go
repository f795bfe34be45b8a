// Package web is the local page: it answers what-ifs while a slider is moved. It decides what an address means, who may ask, how much is played
// at a time, and how an answer grows from coarse to fine. What is played and measured is left to study, words and charts to report, the shipped
// fighters, plans and questions to the caller.
//
// Order of reading: state and query (the address), moved (sliders in it), people, folder and upload (what can be chosen), ask, plan and again
// (from a state to a comparison and back to a line), sliders and desk, picture and sentence (an answer), queue, run and answers (playing it), watch
// (one bout of it), export, guard and limit (who may ask), server (the routes).
// The page itself is in static: plain files, no build step.
package web
