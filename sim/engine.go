package sim

// Engine names what bouts follow from besides their inputs: it is the hash of a hundred recorded bouts, and TestPinnedBouts holds it. Results
// kept under another engine are not the results of this one.
const Engine = "61ac9ec65ce1ea30a637842268820cba55e4838c94716f9408118ab78aac2fbb"
