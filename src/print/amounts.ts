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

/** Such as `Runs 1–3, 5`: numbers in order, three or more that follow one another as a span. */
export function runsInWords(numbers: readonly number[]): string {
  const spans: number[][] = []
  for (const number of [...new Set(numbers)].sort((a, b) => a - b)) {
    const last = spans.at(-1)
    if (last && last.at(-1) === number - 1) last.push(number)
    else spans.push([number])
  }
  const words = spans.flatMap((span) => (span.length > 2 ? [`${span[0]}–${span.at(-1)}`] : span.map(String)))
  return `${numbers.length === 1 ? 'Run' : 'Runs'} ${words.join(', ')}`
}
