package sim

// Engine names what bouts follow from besides their inputs: it is the hash of a hundred recorded bouts, and TestPinnedBouts holds it. Results
// kept under another engine are not the results of this one.
const Engine = "0236c062218f42cad1c9a9662b6ea2883f1fb0ae4fed5cbd52a9e128b9121e20"
