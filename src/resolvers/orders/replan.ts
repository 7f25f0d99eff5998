// Lines come into the plan in force and leave it. Nothing else in it moves, unless what leaves takes from others what they need,
// or wishes give way to lines that are promised.
import { Conflict, NotPossible, type ShortLine } from '../../errors.ts'
import type { OrderLine, Plan, Problem } from '../../planner/documents/index.ts'
import { laterOf } from '../../planner/documents/index.ts'
import type { GaveWay, LivePlan, Proposal, Trial } from '../../planner/index.ts'
import { inForceSince, type Snapshot } from '../../records/snapshots.ts'
import { isWhole } from '../promise/whole.ts'
import type { Accept } from './shapes.ts'

export interface Change {
  /** Ids of lines that leave. */
  without: ReadonlySet<string>
  /** Lines that come in. One with a `promisedOn` may be served by that day, though later than its serve day. */
  lines: readonly OrderLine[]
  accept: Accept
  /** What a refusal is called. Absent: NO_PLAN_FITS. */
  refusal?: 'NO_PLAN_FITS' | 'OFFER_GONE' | 'PROMISE_WORSENS'
}

export interface Changed {
  /** The lines that came in, with the day that is promised. */
  lines: OrderLine[]
  problem: Problem
  /** The lines of others without a promise that are served otherwise so that these can be promised. */
  gaveWay: GaveWay[]
  /** What becomes of the plan in force. Absent: there is none. */
  proposal?: Proposal
  /** The plan in force as it is then, put together when it is first asked for. */
  readonly plan?: Plan
}

/**
 * The records as they are after a change of lines. Throws `NotPossible` where the lines cannot be served as `accept` asks,
 * and `Conflict` where that is unknown because no plan is in force.
 */
export function changeLines({ problem, inForce }: Snapshot, change: Change): Changed {
  const { without, lines, accept } = change
  if (!inForce) {
    const orderLines = problem.orderLines.filter(({ id }) => !without.has(id))
    if (accept !== 'AS_DEMAND' && lines.length > 0) throw new Conflict('NO_PLAN_IN_FORCE')
    const wished = lines.map(unpromised)
    return { lines: wished, gaveWay: [], problem: { ...problem, orderLines: inOrder([...orderLines, ...wished]) } }
  }
  const live = inForce.live()
  const { stored, proposal } = placedAnew(live, change, () => keptPlace(live, problem, change))
  if (accept !== 'AS_DEMAND' && !proposal.answers.every(isWhole))
    throw new Error('a promise was not kept by the plan that made it')
  const { next } = proposal
  return {
    lines: stored,
    gaveWay: proposal.gaveWay,
    problem: next.problem,
    proposal,
    get plan() {
      return next.plan
    },
  }
}

interface Placed {
  /** The lines that came in, with the day that is promised. */
  stored: OrderLine[]
  proposal: Proposal
}

/** The lines at places of their own, or as `kept` has them where that is better or nothing else is possible. */
function placedAnew(live: LivePlan, change: Change, kept: () => Placed | undefined): Placed {
  const { without, lines, accept } = change
  try {
    const proposal = live.propose(without, (trial) => {
      // A refusal is explained later, when this trial is over.
      const later = () => (without.size === 0 ? live : live.propose(without, () => []).next).trial
      const dated = accept === 'AS_DEMAND' ? lines.map(unpromised) : promised(trial, change, later)
      // The promise binds the plan; how long the beer is wanted stays as it was asked.
      return dated.map((placed, index) => {
        const wanted = { ...placed, latestServeOn: lines[index]?.latestServeOn }
        return { placed, wanted, promisedNow: accept !== 'AS_DEMAND' }
      })
    })
    const stored = [...proposal.came]
    const isLater = ({ promisedOn = '' }: OrderLine, index: number) =>
      promisedOn > (lines[index]?.promisedOn ?? promisedOn)
    return (stored.some(isLater) && kept()) || { stored, proposal }
  } catch (error) {
    const found = error instanceof NotPossible ? kept() : undefined
    if (!found) throw error
    return found
  }
}

/**
 * The lines in the places that they have, where each is there already, is promised, and asks for no more than it has: no
 * one is refused less of what was promised. Undefined where they are no such lines, or their places do not hold.
 */
function keptPlace(live: LivePlan, problem: Problem, { without, lines, accept }: Change): Placed | undefined {
  // Most that are refused are new: whether any was there need not be looked up among thousands of lines.
  if (accept === 'AS_DEMAND' || lines.length === 0 || !lines.every(({ promisedOn }) => promisedOn !== undefined))
    return undefined
  const before = new Map(problem.orderLines.map((line) => [line.id, line]))
  if (!lines.every((line) => asksNoMore(line, before.get(line.id)))) return undefined
  const ids = new Set(lines.map(({ id }) => id))
  const proposal = live.lessen(new Set([...without].filter((id) => !ids.has(id))), lines)
  const keeps = proposal.answers.every(
    (answer, index) => isWhole(answer) && (answer.serveOn ?? '') <= (lines[index]?.promisedOn ?? ''),
  )
  return keeps ? { stored: [...lines], proposal } : undefined
}

function asksNoMore(line: OrderLine, before: OrderLine | undefined): boolean {
  return (
    before !== undefined &&
    line.promisedOn !== undefined &&
    line.promisedOn === before.promisedOn &&
    line.packId === before.packId &&
    line.serveOn === before.serveOn &&
    line.quantity <= before.quantity &&
    (line.splittable === before.splittable || line.splittable === true)
  )
}

/** The snapshot after a change that was committed at `revision`. */
export function snapshotAfter(before: Snapshot, { problem, proposal }: Changed, revision: number): Snapshot {
  const { inForce } = before
  return {
    ...before,
    revision,
    problem,
    ...(inForce && proposal ? { inForce: inForceSince(inForce.planId, proposal.next) } : {}),
  }
}

/** The lines with the day that is promised, as the last day on which they may be served. */
function promised(trial: Trial, change: Change, later: () => Trial): OrderLine[] {
  const { lines, accept } = change
  const asked = accept === 'LATER' ? keptIfPossible(trial, lines) : lines.map(onTimeOrAsPromised)
  const answers = trial.promise([...asked], { unexplained: true })
  if (!answers.every(isWhole)) refuse(trial, change, later)
  return asked.map((line, index) => {
    const promisedOn = answers[index]?.serveOn ?? line.serveOn
    return { ...line, latestServeOn: promisedOn, promisedOn }
  })
}

/** The lines, those that are promised already bound to their promise where all of them together can be had so. */
function keptIfPossible(trial: Trial, lines: readonly OrderLine[]): readonly OrderLine[] {
  if (lines.every(({ promisedOn }) => promisedOn === undefined)) return lines
  const bound = lines.map((line) => (line.promisedOn === undefined ? line : onTimeOrAsPromised(line)))
  return trial.promise(bound, { unexplained: true }).every(isWhole) ? bound : lines
}

/** The line as a wish. */
function unpromised(line: OrderLine): OrderLine {
  return { ...line, promisedOn: undefined }
}

/** The line, to be served on its serve day or by the day that it is promised for already. */
function onTimeOrAsPromised(line: OrderLine): OrderLine {
  const { serveOn, promisedOn = serveOn } = line
  return { ...line, latestServeOn: laterOf(promisedOn, serveOn) }
}

/** Says what can be served when, and what binds; the latter is found out after the lock is let go, if it is asked for. */
function refuse(trial: Trial, { lines, refusal = 'NO_PLAN_FITS' }: Change, later: () => Trial): never {
  const answers = trial.promise([...lines], { unexplained: true })
  const short = answers.flatMap((answer, index): ShortLine[] => {
    const { onTime, quantity, served, serveOn } = answer
    const packId = lines[index]?.packId ?? ''
    return onTime ? [] : [{ packId, quantity, served, earliestOn: isWhole(answer) ? serveOn : null }]
  })
  const reasons = () =>
    later()
      .promise([...lines])
      .flatMap(({ limits }) => limits)
  throw new NotPossible(refusal, reasons, short)
}

function inOrder(lines: OrderLine[]): OrderLine[] {
  return lines.sort((a, b) => (a.id < b.id ? -1 : a.id > b.id ? 1 : 0))
}
