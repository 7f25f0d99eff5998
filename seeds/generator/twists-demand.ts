// Changes to a generated problem's order lines: each makes one situation certain.

import type { OrderLine, Pack, Problem } from '../../src/planner/documents/index.ts'
import { addDays } from '../../src/planner/documents/index.ts'
import type { Random } from '../random.ts'
import type { Twist } from './twists-supply.ts'

/** Lines whose serve day is past already; some with a latest serve day soon, or past too. */
export const pastServeDays: Twist = (problem, random) =>
  changeSomeLines(problem, random, 0.25, (line) => {
    const serveOn = addDays(problem.today, -random.int(1, 5))
    const { latestServeOn: _, promisedOn, ...rest } = line
    return {
      ...rest,
      serveOn,
      ...(random.chance(0.4) ? { latestServeOn: addDays(problem.today, random.int(-1, 10)) } : {}),
      ...(promisedOn === undefined ? {} : { promisedOn: addDays(serveOn, random.int(0, 3)) }),
    }
  })

/** Some lines want the beer's primed pack, where there is one (V7). */
export const wantPrimed: Twist = (problem, random) => wantPacks(problem, random, (pack) => pack.primed === true)

/** Some lines want what is drawn from a bright vessel (V4, V6). */
export const wantBright: Twist = (problem, random) => wantPacks(problem, random, (pack) => pack.drawFrom === 'BRIGHT')

/** Lines that may be split, among them large ones that one source can hardly serve (A3). */
export const splittableLines: Twist = (problem, random) =>
  changeSomeLines(problem, random, 0.5, (line) => ({
    ...line,
    splittable: true,
    quantity: random.chance(0.3) ? line.quantity * random.int(2, 4) : line.quantity,
  }))

/** Promised lines, some with a day after the wished one, a few with one before it (F2). */
export const promisedLines: Twist = (problem, random) =>
  changeSomeLines(problem, random, 0.6, (line) => {
    const promisedOn = addDays(line.serveOn, random.pick([0, 0, 0, 1, 2, 5]))
    return { ...line, promisedOn }
  })

/**
 * Routes that take orders until some days before they leave (B6), and lines of which most were placed today, so that several
 * come too late for a day that would serve them in time.
 */
export const cutOffs: Twist = (problem, random) => {
  const routes = problem.routes.map((route) => ({
    ...route,
    cutOff: { daysBefore: random.int(4, 12), at: `${random.int(10, 17)}:${random.pick(['00', '30'])}` },
  }))
  return changeSomeLines({ ...problem, routes }, random, 0.8, (line) => ({
    ...line,
    placedAt: `${problem.today}T${String(random.int(6, 20)).padStart(2, '0')}:${random.pick(['00', '30'])}:00Z`,
  }))
}

/** Lines of all three priorities. */
export const priorities: Twist = (problem, random) =>
  changeSomeLines(problem, random, 0.8, (line) => ({ ...line, priority: random.pick([1, 2, 3] as const) }))

function wantPacks(problem: Problem, random: Random, wanted: (pack: Pack) => boolean): Problem {
  const other = new Map<string, string>()
  for (const beer of problem.beers) {
    const packs = beer.packs.filter(wanted)
    if (packs.length > 0) for (const pack of beer.packs) other.set(pack.id, random.pick(packs).id)
  }
  return changeSomeLines(
    problem,
    random,
    0.4,
    (line) => ({ ...line, packId: other.get(line.packId) ?? line.packId }),
    (line) => other.has(line.packId),
  )
}

function changeSomeLines(
  problem: Problem,
  random: Random,
  share: number,
  change: (line: OrderLine) => OrderLine,
  may: (line: OrderLine) => boolean = () => true,
): Problem {
  const candidates = problem.orderLines.filter(may)
  if (candidates.length === 0) return problem
  const certain = random.pick(candidates)
  const orderLines = problem.orderLines.map((line) =>
    line === certain || (may(line) && random.chance(share)) ? change(line) : line,
  )
  return { ...problem, orderLines }
}
