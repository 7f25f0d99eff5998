// Levers of the order itself, which the account would have to agree to: a later day, fewer containers, two deliveries.
import { supply } from '../insertion/earliest-insertion.ts'
import type { LineModel } from '../model/model.ts'
import { dispatchOptions } from '../model/options.ts'
import type { State } from '../model/state.ts'
import { onTimeVariant } from './on-time.ts'
import type { LeverMaker } from './relief.ts'

/** A later day than this is another order. */
const MOST_DAYS_LATER = 31

/** B5: asked for (and promised, where it is) so many days later. */
export const serveLater: LeverMaker = (state, line) => {
  const { model } = state
  // Only the later of the two days need lie within the horizon; a line that is late by now starts from its own day.
  const most = Math.min(MOST_DAYS_LATER, model.horizon - 1 - Math.max(line.serveOn, line.dueOn))
  if (most < 1) return []
  const later = new Later(state, line, most)
  return [
    {
      what: 'SERVE_DAYS_LATER',
      rule: 'B5',
      resource: { kind: 'ORDER_LINE', id: line.id },
      days: [0],
      most,
      // On a day too late the beer would be past its best, or no route runs.
      oneByOne: true,
      cannot: (amount) => later.supply(amount) < line.quantity,
      pull: (_, amount) => later.by(amount),
      by: (amount) => line.dueOn + amount,
    },
  ]
}

/** Days that are looked at together: mostly one of the first is found. */
const AT_ONCE = 7

/** A line asked for some days later, and how much there could be of it then at the very most. */
class Later {
  private readonly state: State
  private readonly line: LineModel
  private readonly most: number
  private readonly lines = new Map<number, LineModel>()
  private readonly supplies = new Map<number, (options: LineModel['options']) => number>()

  constructor(state: State, line: LineModel, most: number) {
    this.state = state
    this.line = line
    this.most = most
  }

  /** The line, asked for and due so many days later. */
  by(days: number): LineModel {
    let later = this.lines.get(days)
    if (!later) {
      const dueOn = this.line.dueOn + days
      // No later than it is due then: only what is in time is looked at.
      const asked = { ...this.line, serveOn: this.line.serveOn + days, dueOn, latestServeOn: dueOn }
      later = { ...asked, options: dispatchOptions(this.state.model, asked) }
      this.lines.set(days, later)
    }
    return later
  }

  /** Containers that there could be for it, not counted further than its quantity. */
  supply(days: number): number {
    const first = days - ((days - 1) % AT_ONCE)
    let most = this.supplies.get(first)
    if (!most) {
      const options: number[] = []
      for (let day = first; day < first + AT_ONCE && day <= this.most; day++) options.push(...this.by(day).options)
      most = supply(this.state, { ...this.line, options: Uint16Array.from(options) })
      this.supplies.set(first, most)
    }
    return most(this.by(days).options)
  }
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
      pull: (_, amount) => ({ ...line, quantity: line.quantity - amount }),
      by: () => undefined,
      params: (amount) => ({ remaining: line.quantity - amount }),
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
      pull: (_, amount) => ({ ...line, splittable: amount > 0 }),
      by: () => undefined,
    },
  ]
}
