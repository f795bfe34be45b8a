package sim

// Engine names what bouts follow from besides their inputs: it is the hash of a hundred recorded bouts, and TestPinnedBouts holds it. Results
// kept under another engine are not the results of this one.
const Engine = "82c5d0b788d125213dcf8dac98d42c0b4b730db1a2b91d74cdc063306a0ca2c2"
