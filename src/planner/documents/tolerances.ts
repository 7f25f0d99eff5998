// How far litres, minutes and costs may be apart and still count as equal (section 1).
/** Litre counts are compared with this tolerance (section 1). */
export const LITRE_TOLERANCE = 0.001

/** Minutes are sums of decimal fractions; this much is rounding. */
export const MINUTE_TOLERANCE = 1e-6

/** What costs may differ by and still count as equal: a hundredth and a millionth of the cost. */
export const costTolerance = (cost: number): number => 0.01 + 1e-6 * Math.abs(cost)
