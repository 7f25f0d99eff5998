// Levers of the order itself, which the account would have to agree to: a later day, fewer containers, two deliveries.
import { dispatchOptions } from '../search/options.ts'
import { counted, type LeverMaker } from './relief.ts'

const nothing = () => {}

/** A later day than this is another order. */
const MOST_DAYS_LATER = 31

/** B5: asked for (and promised, where it is) so many days later. */
export const serveLater: LeverMaker = (state, line) => {
  const { model } = state
  // Only the later of the two days need lie within the horizon; a line that is late by now starts from its own day.
  const most = Math.min(MOST_DAYS_LATER, model.horizon - 1 - Math.max(line.serveOn, line.dueOn))
  if (most < 1) return []
  return [
    {
      what: 'SERVE_DAYS_LATER',
      rule: 'B5',
      resource: { kind: 'ORDER_LINE', id: line.id },
      days: [0],
      most,
      // On a day too late the beer would be past its best, or no route runs.
      oneByOne: true,
      pull: (amount) => {
        const dueOn = line.dueOn + amount
        const later = {
          ...line,
          serveOn: line.serveOn + amount,
          dueOn,
          latestServeOn: Math.max(line.latestServeOn, line.serveOn + amount, dueOn),
        }
        return { line: { ...later, options: dispatchOptions(model, later) }, undo: nothing }
      },
      by: (amount) => line.dueOn + amount,
      words: (amount, by) => `to serve it ${counted(amount, 'day')} later, on ${by}`,
    },
  ]
}

/** A3: so many containers fewer. */
export const fewerContainers: LeverMaker = (_, line) => {
  if (line.quantity < 2) return []
  return [
    {
      what: 'FEWER_CONTAINERS',
      rule: 'A3',
      resource: { kind: 'ORDER_LINE', id: line.id },
      days: [0],
      most: line.quantity - 1,
      pull: (amount) => ({ line: { ...line, quantity: line.quantity - amount }, undo: nothing }),
      by: () => undefined,
      words: (amount) => `to order ${counted(amount, 'container')} fewer, ${line.quantity - amount} in all`,
    },
  ]
}

/** A3: permission to serve the line in two deliveries. */
export const splitAllowed: LeverMaker = (_, line) => {
  if (line.splittable || line.quantity < 2) return []
  return [
    {
      what: 'SPLIT_ALLOWED',
      rule: 'A3',
      resource: { kind: 'ORDER_LINE', id: line.id },
      days: [0],
      most: 1,
      pull: (amount) => ({ line: { ...line, splittable: amount > 0 }, undo: nothing }),
      by: () => undefined,
      words: () => 'permission to bring it in two deliveries',
    },
  ]
}
