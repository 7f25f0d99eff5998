// Capacitated lot sizing with set-up times and costs: items are beers, periods are days, the resource is a filler.
import type { Problem } from '../../src/planner/documents/index.ts'
import { shopBeer, shopDay, shopProblem } from './shop-problem.ts'

export interface LotSizingInstance {
  capacity: number
  items: { minutesEach: number; holdingCost: number; setupMinutes: number; setupCost: number }[]
  /** Demands by period, then by item. */
  demands: number[][]
}

/** Reads an instance: items and periods; 1; capacity; four numbers an item; a row of demands a period. */
export function lotSizingInstance(text: string): LotSizingInstance {
  const numbers = (text.match(/\d+(\.\d+)?/g) ?? []).map(Number)
  let position = 0
  const next = () => {
    const value = numbers[position++]
    if (value === undefined) throw new RangeError('the file ends too early')
    return value
  }
  const itemCount = next()
  const periods = next()
  if (next() !== 1) throw new RangeError('only instances with one resource can be read')
  const capacity = next()
  const items = Array.from({ length: itemCount }, () => ({
    minutesEach: next(),
    holdingCost: next(),
    setupMinutes: next(),
    setupCost: next(),
  }))
  const demands = Array.from({ length: periods }, () => items.map(next))
  return { capacity, items, demands }
}

/** The planning problem whose cost is the instance's: set-ups by `setupWeight`, holding by litres that stand for a day. */
export function lotSizing(text: string): Problem {
  const { capacity, items, demands } = lotSizingInstance(text)
  const id = (item: number) => `item-${item + 1}`
  const byItem = (value: (item: (typeof items)[number]) => number) =>
    Object.fromEntries(items.map((item, index) => [id(index), value(item)]))
  return shopProblem({
    horizonDays: demands.length,
    beers: items.map(({ setupCost }, item) => shopBeer(id(item), [id(item)], { setupWeight: setupCost })),
    containerTypes: items.map(({ holdingCost }, item) => ({ id: id(item), kind: 'CASK', nominalLitres: holdingCost })),
    filler: {
      minutesPerDay: capacity,
      setupMinutes: byItem(({ setupMinutes }) => setupMinutes),
      minutesEach: byItem(({ minutesEach }) => minutesEach),
    },
    orderLines: demands.flatMap((row, period) =>
      row.flatMap((quantity, item) =>
        quantity === 0
          ? []
          : [
              {
                id: `${id(item)} ${period + 1}`,
                orderId: id(item),
                accountId: 'account',
                packId: id(item),
                quantity,
                serveOn: shopDay(period),
                latestServeOn: shopDay(period),
              },
            ],
      ),
    ),
    costs: { setup: 1, standing: 1, unserved: 1e6 },
  })
}
