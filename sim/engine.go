package sim

// Engine names what bouts follow from besides their inputs: it is the hash of a hundred recorded bouts, and TestPinnedBouts holds it. Results
// kept under another engine are not the results of this one.
const Engine = "c34c3ed7b5312a85d1c13aac732a3e56d51b8fd6e49c465f0389e22d3da016b4"
