// Package infer turns counts and draws into estimates with bounds. It knows no word of fighting; calibrate and study both stand on it.
//
// It decides which interval a count, a rate, a difference or a nest of draws gets, how wide it is, and what must be said beside it: an
// [Interval] carries its centre, its bounds, its level, what kind of interval it is, by which method, from how many observations, and
// warnings. It leaves to its caller what is counted, what a draw is, which level is wanted, and the words of a report.
//
// Counted data: [Wilson], [ClopperPearson], [Jeffreys], [Garwood], [NewcombeDifference], [NewcombePaired]; [CountDispersion] and
// [ShareDispersion] say how much less the counts know than independent events would, and [Gamma], [Beta] and [Dirichlet] take counts
// divided by that factor into a posterior.
//
// Forecasts: [NegativeBinomial] of counts; [CRPSEnsemble], [PIT], [Bins] and [BrierOf] hold forecasts to what came; [Rescale] and
// [KolmogorovSmirnov] event times to an intensity.
//
// Coded data: a [Crosstab] of two coders' codes or [Rated] units of several; [Kappa], [WeightedKappa], [FleissKappa], [Alpha] and [AC1] say how
// far they agree beyond chance, each a [Coefficient]; [OverBlocks] the same over time; [PositiveAgreement] whether they saw the same
// events, [Missed] and [Recapture] how many each missed; [Median] a constant offset of their clocks.
//
// Simulated data are a nest: K outer draws (possible truths), each with N inner bouts (luck), each draw a [Group] of count, sum and sum
// of squares. In order: [Split] separates the variance between draws from the luck within them; [Components.Simulation] says how well
// the grand mean is known (more draws shrink it); [Spread] says how far the draws themselves differ once luck is taken out (more bouts do
// not shrink it); [Better] says how much of the draws lies on the good side of zero; [Within] says when to stop.
//
// Several options: [Race] gives draws where they lower the [ExpectedLoss] of a choice most and says when that is enough; [Best] gives intervals
// against the best of the others; [Contest] says how often each is best over draws, and what knowing the truth would win.
//
// Counts may be fractional, since tempered counts are. A caller's bug (a negative count, more hits than trials, a level outside 0 to 1)
// panics with the package's name. Accuracy of gonum's quantiles, on which all bounds stand, is held by special_test.go.
package infer
