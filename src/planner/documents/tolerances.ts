// How far litres and minutes may be apart and still count as equal (section 1).
/** Litre counts are compared with this tolerance (section 1). */
export const LITRE_TOLERANCE = 0.001

/** Minutes are sums of decimal fractions; this much is rounding. */
export const MINUTE_TOLERANCE = 1e-6
