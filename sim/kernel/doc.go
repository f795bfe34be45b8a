// Package kernel is the machinery of a discrete-event Monte Carlo: keyed random streams, integer draws by inversion, a calendar of
// fixed slots and Poisson ticks. It knows no word of the domain, so that it can be tested on queueing theory.
//
// It decides how a key becomes a stream, how a raw draw becomes an event, a choice, a gap or a normal deviate, and which slot of
// the calendar comes first. It leaves to its caller what the words of a key mean, what the slots stand for, when to stop, and
// everything that watches.
//
// Order of steps: [NewKey] once a replication, [Key.With] once an agent and period, [NewTicks] for the moments at which that agent
// may decide, [Calendar] for which of all moments comes next, and at each of them [Key.Stream] for the draws of that moment alone.
//
// Units: time is int64 microseconds; a chance is a threshold from 0 (never) to 1<<32 (always) that a 32-bit draw is compared with;
// a logit is in units of 1/[LogitUnit]; a normal deviate in units of 1/[NormalUnit].
//
// Nothing here depends on the machine: draws are integers, and the floating-point work that builds tables and thresholds keeps
// to single IEEE 754 operations (sums, products, quotients, square roots, each rounded by itself), so that the same key gives the
// same bytes on amd64 at any GOAMD64 and on arm64. Nothing here allocates after its construction.
package kernel
