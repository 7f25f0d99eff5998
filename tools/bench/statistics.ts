// The few statistics that the tables need.

export function mean(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length
}

/** The value that `share` of the values do not exceed (nearest rank). */
export function percentile(values: readonly number[], share: number): number {
  const sorted = [...values].sort((a, b) => a - b)
  return sorted[Math.max(0, Math.ceil(share * sorted.length) - 1)] ?? Number.NaN
}

/** The exponent e of y ≈ c · x^e: the slope of the least-squares line through the logarithms. */
export function exponent(points: readonly (readonly [x: number, y: number])[]): number {
  const logs = points.map(([x, y]) => [Math.log(x), Math.log(y)] as const)
  const mx = mean(logs.map(([x]) => x))
  const my = mean(logs.map(([, y]) => y))
  const covariance = logs.reduce((sum, [x, y]) => sum + (x - mx) * (y - my), 0)
  return covariance / logs.reduce((sum, [x]) => sum + (x - mx) ** 2, 0)
}

/** Half of the milliseconds that each question takes, by its name: asked so often, in turns, so that what else the machine does falls on all. */
export async function mediansOf(
  questions: Readonly<Record<string, () => Promise<unknown>>>,
  times: number,
): Promise<Record<string, number>> {
  const taken = new Map<string, number[]>()
  for (let run = 0; run < times; run += 1)
    for (const [name, ask] of Object.entries(questions)) {
      const began = performance.now()
      await ask()
      taken.set(name, [...(taken.get(name) ?? []), performance.now() - began])
    }
  return Object.fromEntries([...taken].map(([name, list]) => [name, percentile(list, 0.5)]))
}
