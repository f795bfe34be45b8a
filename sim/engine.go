package sim

// Engine names what bouts follow from besides their inputs: it is the hash of a hundred recorded bouts, and TestPinnedBouts holds it. Results
// kept under another engine are not the results of this one.
const Engine = "f7e673735e3be22389a148068606b3847000ad1753d55a2e000bb55a2321f477"
