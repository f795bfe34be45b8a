package sim

// Engine names what bouts follow from besides their inputs: it is the hash of a hundred recorded bouts, and TestPinnedBouts holds it. Results
// kept under another engine are not the results of this one.
const Engine = "b5b9a10b3aa1c386cfcea1f5b886e7e21c4386246d90af73f217a468264bfacc"
