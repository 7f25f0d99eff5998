// The lever of order cut-offs: a route takes orders for so many minutes longer.
import { laterCutOff, minutesMissed } from '../calendar/cut-off.ts'
import { element } from '../model/element.ts'
import { dispatchesOf, dispatchOptions } from '../model/options.ts'
import { withoutCutOffs } from '../rules/cut-off/relaxation.ts'
import { onTimeVariant } from './on-time.ts'
import type { Lever, LeverMaker } from './relief.ts'

/** B6: the cut-off of a route is so many minutes later, for every day on which it runs. */
export const cutOffLater: LeverMaker = (state, line) => {
  const { model } = state
  const { placedAt } = line
  const dispatches = dispatchesOf(model, onTimeVariant(withoutCutOffs(model, line)).options)
  return element(model.accounts, line.account).routes.flatMap((index): Lever[] => {
    const route = element(model.routes, index)
    const { cutOff, timeZone } = route
    if (!cutOff || placedAt === undefined) return []
    // Only at these amounts does one more day come within reach.
    const amounts = new Set<number>()
    for (const { route: taken, on } of dispatches)
      if (taken === index) amounts.add(minutesMissed(placedAt, timeZone, cutOff, model.today + on))
    amounts.delete(0)
    if (amounts.size === 0) return []
    return [
      {
        what: 'CUT_OFF_LATER',
        rule: 'B6',
        resource: { kind: 'ROUTE', id: route.id },
        days: [0],
        most: Math.max(...amounts),
        least: Math.min(...amounts),
        oneByOne: true,
        cannot: (amount) => !amounts.has(amount),
        pull: (log, amount) => {
          log.swap(route, 'cutOff', laterCutOff(cutOff, amount))
          return { ...line, options: dispatchOptions(model, line) }
        },
        by: () => undefined,
      },
    ]
  })
}
