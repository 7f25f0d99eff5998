// How many answers come in a stretch of time when so many ask at once, each the next as soon as it has the last.

export interface Load {
  /** Answers a second. */
  perSecond: number
  /** Milliseconds of each answer, in no order. */
  times: number[]
}

/** Lets `connections` ask one after the other for `seconds`; `ask` gets the question's number. */
export async function load(
  connections: number,
  seconds: number,
  ask: (index: number) => Promise<unknown>,
): Promise<Load> {
  const times: number[] = []
  const began = performance.now()
  const ends = began + 1000 * seconds
  let index = 0
  const one = async () => {
    while (performance.now() < ends) {
      const started = performance.now()
      await ask(index++)
      times.push(performance.now() - started)
    }
  }
  await Promise.all(Array.from({ length: connections }, one))
  return { perSecond: (1000 * times.length) / (performance.now() - began), times }
}

/** Several stretches as one. */
export function together(loads: readonly Load[]): Load {
  return {
    perSecond: loads.reduce((sum, { perSecond }) => sum + perSecond, 0) / loads.length,
    times: loads.flatMap(({ times }) => times),
  }
}
