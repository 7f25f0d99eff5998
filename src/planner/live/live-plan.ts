// The plan in force, compiled once and followed from change to change: lines leave it and come into it, and what that
// changes is reported alone. Its versions share one state, which is brought to whichever is looked at; so each can be asked at
// any time, and one that nothing refers to any more is forgotten.

import { deltaBetween, type PlanDelta } from '../documents/plan-delta.ts'
import type { OrderLine, Plan, Problem } from '../documents/problem.ts'
import { problemAfter } from '../documents/problem-after.ts'
import { withFewer, withoutLines } from '../documents/without-lines.ts'
import { byBirth } from '../model/batch.ts'
import { element } from '../model/element.ts'
import type { LineModel } from '../model/model.ts'
import { holds } from '../model/stores-fleets.ts'
import { type Verdicts, verdictsOf } from '../opening/export.ts'
import { type OpenCarriedPlan, openCarried } from './carry-forward.ts'
import { decided } from './decided.ts'
import { type GaveWay, gaveWay, isMoved, liftWishes } from './give-way.ts'
import {
  answersOf,
  type Coming,
  linesOf,
  placeAgain,
  placedOf,
  putIn,
  takeOut,
  tryOut,
  wantedOf,
} from './line-steps.ts'
import { type LiveState, liveStateOf } from './live-state.ts'
import { PlanEdit } from './plan-edit.ts'
import { proposalDelta } from './proposal-delta.ts'
import { removeLines } from './removed-lines.ts'
import { settleTransfers } from './stock.ts'
import { type Trial, trialIn } from './trial.ts'
import type { TrialAnswer } from './trial-answer.ts'

export type { Coming } from './line-steps.ts'

/** What a change would make of a plan. It has no effect unless `next` is kept. */
export interface Proposal {
  /** How the lines that come are served, in their order. */
  answers: TrialAnswer[]
  /** The lines that come, with the days that they are promised in the end. */
  came: readonly OrderLine[]
  delta: PlanDelta
  next: LivePlan
  /** Whether all other lines keep just what they have, but for wishes that gave way. */
  inPlace: boolean
  /** The wishes that are served otherwise so that the lines that come are. */
  gaveWay: GaveWay[]
}

/** A plan that is open in a state, to be followed from there. */
export function livePlanOf(problem: Problem, carried: OpenCarriedPlan): LivePlan {
  return new LivePlan(liveStateOf(problem, carried), { ...problem, baseline: undefined }, carried.plan)
}

export class LivePlan {
  /** The problem without its baseline, which is this plan itself. */
  readonly problem: Problem
  /** The plan, open for trial placements. */
  readonly trial: Trial
  readonly #live: LiveState
  /** The neighbouring version through which the state is reached, and how to get here from there; absent: it stands here. */
  #via: { version: LivePlan; edit: PlanEdit; forward: boolean } | undefined
  #held: Plan | undefined
  #plan: Plan | undefined

  constructor(live: LiveState, problem: Problem, held?: Plan) {
    this.#live = live
    this.#held = held
    this.problem = problem
    this.trial = trialIn({
      state: live.state,
      moved: [],
      plan: () => this.plan,
      based: () => ({ ...this.problem, baseline: this.plan }),
      wishesGiveWay: true,
      enter: () => this.#enter(),
    })
  }

  /** The plan as a document; its cost is that of a plan that is its own baseline. */
  get plan(): Plan {
    if (!this.#plan) {
      this.#enter()
      this.#plan = this.#live.plan()
    }
    return this.#plan
  }

  /**
   * The plan as it was held when it was opened: the very plan that was given where it holds as it is, with the cost and the
   * past decisions that it lists. Of a plan that a change made: the plan.
   */
  get held(): Plan {
    return this.#held ?? this.plan
  }

  /** The same plan, of which another document says what it moved and cost when it was opened. */
  heldAs(plan: Plan): this {
    this.#held = plan
    return this
  }

  /** The deliveries of some lines. */
  deliveries(lineIds: Iterable<string>): Plan['deliveries'] {
    this.#enter()
    const { lines, indexOf } = this.#live.state.model
    return [...lineIds].flatMap((id) => {
      const index = indexOf.line.get(id)
      return index === undefined ? [] : this.#live.deliveriesOf(element(lines, index))
    })
  }

  /**
   * The plan without some lines and with others, which `decide` names once it has seen what can be had without those that
   * leave. Runs that are frozen or fixed stay and become stock. All other lines keep what they have, with two exceptions: where
   * containers or room would be missing because of those that leave, and those that come do not make up for it; and wishes that
   * give way to lines that are to be promised, unless `wishesStay`.
   */
  propose(
    without: ReadonlySet<string>,
    decide: (trial: Trial) => readonly Coming[],
    { wishesStay = false } = {},
  ): Proposal {
    const inPlace = (othersMove: boolean) => this.#proposeInPlace(without, decide, wishesStay, othersMove)
    return inPlace(false) ?? inPlace(true) ?? this.#proposeAnew(without, decide)
  }

  /**
   * The plan without some lines, and with others that are there at no more than they have: each keeps its place, and what the
   * rest of it was filled for leaves. This finds what `propose` may miss, which seeks places anew, and takes as long as opening
   * a plan. The answers say how they are served then: one that lost its place otherwise may be late.
   */
  lessen(without: ReadonlySet<string>, lines: readonly OrderLine[]): Proposal {
    const { plan } = this
    const ids = new Set([...without, ...lines.map(({ id }) => id)])
    const problem = problemAfter(this.problem, ids, lines)
    const others = withoutLines(this.problem, plan, without)
    const fewer = withFewer(this.problem, others, new Map(lines.map(({ id, quantity }) => [id, quantity])))
    const carried = openCarried(problem, openCarried({ ...problem, baseline: plan }, fewer).trial.commit([]).plan)
    const next = livePlanOf(problem, carried)
    const answers = answersOf(carried.state, lines)
    return { answers, came: lines, delta: deltaBetween(plan, next.plan), next, inPlace: false, gaveWay: [] }
  }

  /** The version that a change of the records makes of this one, with the problem that it answers. It answers none: nothing is changed. */
  changedBy(change: (live: LiveState, edit: PlanEdit) => Problem | undefined): LivePlan | undefined {
    this.#enter()
    const edit = new PlanEdit(this.#live.state)
    let problem: Problem | undefined
    try {
      problem = change(this.#live, edit)
    } finally {
      if (!problem) {
        edit.undo()
        this.#live.names.forget()
      }
    }
    return problem && this.#followedBy(new LivePlan(this.#live, problem), edit)
  }

  /** The state stands at the next version now, which the edit made of this one. */
  #followedBy(next: LivePlan, edit: PlanEdit): LivePlan {
    this.#via = { version: next, edit, forward: false }
    return next
  }

  #proposeInPlace(
    without: ReadonlySet<string>,
    decide: (trial: Trial) => readonly Coming[],
    wishesStay: boolean,
    othersMove: boolean,
  ): Proposal | undefined {
    this.#enter()
    const { state } = this.#live
    const edit = new PlanEdit(state)
    let isShort = false
    try {
      const left = takeOut(this.#live, edit, without)
      isShort = !holds(state)
      const removed = othersMove ? isShort && removeLines(edit, this.problem.orderLines) : []
      if (!removed) {
        edit.undo()
        return undefined
      }
      left.push(...takeOut(this.#live, edit, new Set(removed.map(({ wanted }) => wanted.id))))
      const again = tryOut(state, edit, placedOf(removed))
      const came = putIn(state, edit, removed, again.placements)
      const { coming, wishes, result } = decided(edit, this, decide, wishesStay)
      const lifted = liftWishes(state, edit, wishes)
      came.push(...putIn(state, edit, coming, result.placements))
      const after = placeAgain(state, edit, lifted)
      left.push(...lifted.map(({ line }) => line))
      came.push(...lifted.map(({ line }) => line))
      settleTransfers(state, edit, (batch) => this.#live.parts.get(batch)?.transfer)
      if (!holds(state)) {
        edit.undo()
        return undefined
      }
      const { answers } = result
      const limits = [...again.answers, ...answers, ...after]
      const wanted = [...wantedOf([...removed, ...coming]), ...linesOf(this.problem, lifted)]
      const moved = lifted.map((wish) => gaveWay(state, wish, state.placements[wish.line.index])).filter(isMoved)
      const inPlace = removed.length === 0
      // A wish that is placed anew because of those that left may then give way to those that come.
      const lines = { left: eachOnce(left), came: eachOnce(came), wanted: eachOnce(wanted) }
      return { answers, came: wantedOf(coming), inPlace, gaveWay: moved, ...this.#concluded(edit, lines, limits) }
    } catch (error) {
      edit.undo()
      this.#live.names.forget()
      // What is missing as long as the others stay may be why.
      if (isShort && !othersMove) return undefined
      throw error
    }
  }

  #concluded(
    edit: PlanEdit,
    { left, came, wanted }: { left: readonly LineModel[]; came: readonly LineModel[]; wanted: readonly OrderLine[] },
    answers: readonly TrialAnswer[],
  ): Pick<Proposal, 'delta' | 'next'> {
    const live = this.#live
    const { state, verdicts } = live
    // New runs are named in this order, however the batches came to be touched.
    const changes = live.partChanges([...edit.touched].sort(byBirth))
    live.settle(edit, changes)
    const limits = new Map(answers.map((each) => [each.orderLineId, each.limits]))
    const verdictsBefore: Verdicts[] = left.flatMap(({ id }) => verdicts.get(id) ?? [])
    const verdictsAfter = came.map((line) => verdictsOf(state, line, ({ id }) => limits.get(id) ?? []))
    for (const { id } of left) edit.put(verdicts, id, undefined)
    for (const [index, { id }] of came.entries()) {
      const each = verdictsAfter[index]
      if (each && Object.keys(each).length > 0) edit.put(verdicts, id, each)
    }
    const lines = {
      left: left.map(({ id }) => id),
      deliveries: came.flatMap((line) => live.deliveriesOf(line)),
      before: verdictsBefore,
      after: verdictsAfter,
    }
    const delta = proposalDelta(changes, lines, live.cost())
    const next = new LivePlan(live, problemAfter(this.problem, new Set(lines.left), wanted))
    return { delta, next: this.#followedBy(next, edit) }
  }

  /** The same from the documents, where taking lines out leaves others without what they need. No wish gives way here. */
  #proposeAnew(without: ReadonlySet<string>, decide: (trial: Trial) => readonly Coming[]): Proposal {
    const { plan } = this
    const left = problemAfter(this.problem, without, [])
    const held = openCarried({ ...left, baseline: plan }, withoutLines(this.problem, plan, without))
    const coming = decide(held.trial)
    const { answers, plan: placed } = held.trial.commit(placedOf(coming))
    const came = wantedOf(coming)
    const problem = problemAfter(this.problem, without, came)
    const next = new LivePlan(liveStateOf(problem, openCarried(problem, placed)), problem)
    return { answers, came, delta: deltaBetween(plan, next.plan), next, inPlace: false, gaveWay: [] }
  }

  /** Brings the state to this version. */
  #enter(): void {
    const path: LivePlan[] = []
    for (let at: LivePlan = this; at.#via; at = at.#via.version) path.push(at)
    for (const at of path.reverse()) {
      if (!at.#via) continue
      const { version, edit, forward } = at.#via
      if (forward) edit.redo()
      else edit.undo()
      version.#via = { version: at, edit, forward: !forward }
      at.#via = undefined
    }
  }
}

/** The list with each id once, as it comes last. */
function eachOnce<Thing extends { id: string }>(list: readonly Thing[]): Thing[] {
  return [...new Map(list.map((each) => [each.id, each])).values()]
}
