// New order lines for tests that let lines come into a plan.
import { randomFrom } from '../../seeds/random.ts'
import { addDays, type OrderLine, type Problem } from '../../src/planner/documents/index.ts'

/** `least` to three lines of one order, on any days of the horizon; the same for the same seed. */
export function someLines(
  { beers, accounts, today, horizonDays }: Problem,
  seed: number,
  name: string,
  least = 0,
): OrderLine[] {
  const random = randomFrom(seed)
  const packs = beers.flatMap((beer) => beer.packs)
  return Array.from(
    { length: random.int(least, 3) },
    (_, index): OrderLine => ({
      id: `${name}-${index}`,
      orderId: name,
      accountId: random.pick(accounts).id,
      packId: random.pick(packs).id,
      quantity: random.int(1, 12),
      serveOn: addDays(today, random.int(0, horizonDays - 1)),
      priority: random.pick([1, 2, 3] as const),
      splittable: random.chance(0.3),
    }),
  )
}
