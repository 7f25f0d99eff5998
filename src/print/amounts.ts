// Amounts as a sheet writes them: as exact as a hand can measure.

/** Litres to a tenth. */
export function litres(amount: number): string {
  return `${rounded(amount, 1)} L`
}

/** Whole kilograms. */
export function kilograms(amount: number): string {
  return `${rounded(amount, 0)} kg`
}

/** A number with so many digits behind the point at most, and none that are zero. */
export function rounded(amount: number, digits: number): string {
  return String(Number(amount.toFixed(digits)))
}
