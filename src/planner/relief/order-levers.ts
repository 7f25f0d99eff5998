// Levers of the order itself, which the account would have to agree to: a later day, fewer containers, two deliveries.
import { supply } from '../earliest.ts'
import type { LineModel } from '../search/model.ts'
import { dispatchOptions } from '../search/options.ts'
import type { State } from '../search/state.ts'
import { onTimeVariant } from './on-time.ts'
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
  const later = (amount: number): LineModel => {
    const dueOn = line.dueOn + amount
    // No later than it is due then: only what is in time is looked at.
    const asked = { ...line, serveOn: line.serveOn + amount, dueOn, latestServeOn: dueOn }
    return { ...asked, options: dispatchOptions(model, asked) }
  }
  const all = Array.from({ length: most }, (_, index) => later(index + 1))
  return [
    {
      what: 'SERVE_DAYS_LATER',
      rule: 'B5',
      resource: { kind: 'ORDER_LINE', id: line.id },
      days: [0],
      most,
      // On a day too late the beer would be past its best, or no route runs.
      oneByOne: true,
      cannot: hopeless(state, line, all),
      pull: (amount) => ({ line: all[amount - 1], undo: nothing }),
      by: (amount) => line.dueOn + amount,
      words: (amount, by) => `to serve it ${counted(amount, 'day')} later, on ${by}`,
    },
  ]
}

/** Which of these variants of the line need not be tried, since there cannot be enough for them. */
function hopeless(state: State, line: LineModel, lines: readonly LineModel[]): (amount: number) => boolean {
  const most = supply(state, { ...line, options: Int32Array.from(lines.flatMap(({ options }) => [...options])) })
  return (amount) => most(lines[amount - 1].options) < line.quantity
}

/** A3: so many containers fewer. */
export const fewerContainers: LeverMaker = (state, line) => {
  if (line.quantity < 2) return []
  const onTime = onTimeVariant(line)
  return [
    {
      what: 'FEWER_CONTAINERS',
      rule: 'A3',
      resource: { kind: 'ORDER_LINE', id: line.id },
      days: [0],
      most: line.quantity - 1,
      least: Math.max(1, line.quantity - supply(state, onTime)(onTime.options)),
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
