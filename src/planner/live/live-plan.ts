// The plan in force, compiled once and followed from change to change: lines leave it and come into it, and what that
// changes is told alone. Its versions share one state, which is brought to whichever is looked at; so each can be asked at
// any time, and one that nobody holds any more is forgotten.

import { deltaBetween, type PlanDelta } from '../documents/plan-delta.ts'
import type { OrderLine, Plan, Problem } from '../documents/problem.ts'
import { problemAfter } from '../documents/problem-after.ts'
import { withFewer, withoutLines } from '../documents/without-lines.ts'
import { explainer, PLAN_RELIEFS } from '../explanation/explain.ts'
import { asTold } from '../explanation/reuse-reasons.ts'
import type { Placement } from '../model/batch.ts'
import { addLine } from '../model/compile.ts'
import type { LineModel } from '../model/model.ts'
import { holds } from '../model/stores-fleets.ts'
import { deliveriesOf, type Explain, type Verdicts, verdictsOf } from '../opening/export.ts'
import { openHeld } from './carry-forward.ts'
import { Shared } from './live-state.ts'
import { Step } from './plan-edit.ts'
import { proposalDelta } from './proposal-delta.ts'
import { displace } from './restore-capacity.ts'
import { restock, settleTransfers } from './stock.ts'
import { answerOf, type Laid, layLines, liftLines, type Trial, type TrialAnswer, trialIn } from './trial.ts'
import { asPromised, type Tried } from './trial-result.ts'

/** A line that comes: as it is placed, that is with the last day on which it may be served; and as it is wanted. */
export interface Coming {
  placed: OrderLine
  wanted: OrderLine
}

/** What a change would make of a plan. Nothing comes of it unless `next` is kept. */
export interface Proposal {
  /** How the lines that come are served, in their order. */
  answers: TrialAnswer[]
  delta: PlanDelta
  next: LivePlan
  /** Whether everyone else keeps just what they have. */
  inPlace: boolean
}

/** For tests: hears of every proposal. */
export type Audit = (before: LivePlan, proposal: Proposal) => void
let audit: Audit | undefined

/** Has every proposal looked at; without an argument, none. Only tests do so: it takes as long as opening a plan anew. */
export function auditProposals(by?: Audit): void {
  audit = by
}

/** Opens a plan for a problem that may have moved on since, so that it goes on serving whom it serves (`holdPlan`). */
export function openLivePlan(problem: Problem, plan: Plan): LivePlan {
  const { shared, held } = opened(problem, plan)
  return new LivePlan(shared, { ...problem, baseline: undefined }, held)
}

function opened(problem: Problem, plan: Plan): { shared: Shared; held: Plan } {
  const held = openHeld(problem, plan)
  const explain = asTold(held.state, held.plan, explainer(held.state, PLAN_RELIEFS))
  return { shared: new Shared(problem, held.plan, held.state, explain), held: held.plan }
}

const placedOf = (coming: readonly Coming[]) => coming.map(({ placed }) => placed)
const wantedOf = (coming: readonly Coming[]) => coming.map(({ wanted }) => wanted)

export class LivePlan {
  /** The problem without its baseline, which is this plan itself. */
  readonly problem: Problem
  /** The plan, open for trial placements. */
  readonly trial: Trial
  readonly #shared: Shared
  /** The neighbouring version through which the state is reached, and how to get here from there; absent: it stands here. */
  #via: { version: LivePlan; step: Step; forward: boolean } | undefined
  readonly #opened: Plan | undefined
  #plan: Plan | undefined

  constructor(shared: Shared, problem: Problem, opened?: Plan) {
    this.#shared = shared
    this.#opened = opened
    this.problem = problem
    this.trial = trialIn({
      state: shared.state,
      moved: [],
      plan: () => this.plan,
      based: () => ({ ...this.problem, baseline: this.plan }),
      enter: () => this.#enter(),
    })
  }

  /** The plan as a document; its cost is that of a plan that is its own baseline. */
  get plan(): Plan {
    if (!this.#plan) {
      this.#enter()
      this.#plan = this.#shared.plan()
    }
    return this.#plan
  }

  /**
   * The plan as it was held when it was opened: the very plan that was given where it holds as it is, with the cost and the
   * past decisions that it told. Of a plan that came of a change: the plan.
   */
  get held(): Plan {
    return this.#opened ?? this.plan
  }

  /** The deliveries of some lines. */
  deliveries(lineIds: Iterable<string>): Plan['deliveries'] {
    this.#enter()
    const { state, names } = this.#shared
    return [...lineIds].flatMap((id) => {
      const index = state.model.indexOf.line.get(id)
      return index === undefined ? [] : deliveriesOf(state, state.model.lines[index], names)
    })
  }

  /**
   * The plan without some lines and with others, which `decide` names once it has seen what can be had without those that
   * leave. Runs that are frozen or fixed stay and become stock. Everyone else keeps what they have; only where containers
   * or room would be missing because of those that leave may someone be served otherwise.
   */
  propose(without: ReadonlySet<string>, decide: (trial: Trial) => readonly Coming[]): Proposal {
    const proposal = this.#proposeInPlace(without, decide) ?? this.#proposeAnew(without, decide)
    audit?.(this, proposal)
    return proposal
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
    const { shared, held } = opened(problem, openHeld({ ...problem, baseline: plan }, fewer).trial.commit([]).plan)
    const next = new LivePlan(shared, problem, held)
    const { state } = shared
    const explain = explainer(state, PLAN_RELIEFS)
    const answers = lines.flatMap(({ id }) => {
      const line = state.model.lines[state.model.indexOf.line.get(id) ?? -1]
      return line ? [answerOf(state, line, explain)] : []
    })
    const proposal = { answers, delta: deltaBetween(plan, next.plan), next, inPlace: false }
    audit?.(this, proposal)
    return proposal
  }

  #proposeInPlace(without: ReadonlySet<string>, decide: (trial: Trial) => readonly Coming[]): Proposal | undefined {
    this.#enter()
    const { state } = this.#shared
    const step = new Step(state)
    try {
      const left = this.#takeOut(step, without)
      const displaced = displace(state, step, this.problem.orderLines)
      if (!displaced) {
        step.undo()
        return undefined
      }
      left.push(...this.#takeOut(step, new Set(displaced.map(({ wanted }) => wanted.id))))
      const again = this.#tryOut(step, placedOf(displaced))
      const came = this.#putIn(step, displaced, again.placements)
      let tried: Tried | undefined
      const trial = trialIn({ state, moved: [], plan: () => this.plan, based: () => this.problem })
      const coming = decide({
        ...trial,
        promise: (lines, how) => {
          if (!how?.unexplained) return trial.promise(lines, how)
          tried = this.#tryOut(step, lines, () => [])
          return tried.answers
        },
      })
      const { answers, placements } =
        (tried && asPromised(tried, placedOf(coming))) ?? this.#tryOut(step, placedOf(coming))
      came.push(...this.#putIn(step, coming, placements))
      settleTransfers(state, step, (batch) => this.#shared.parts.get(batch)?.transfer)
      if (!holds(state)) {
        step.undo()
        return undefined
      }
      const concluded = this.#concluded(step, left, came, [...displaced, ...coming], [...again.answers, ...answers])
      return { answers, inPlace: displaced.length === 0, ...concluded }
    } catch (error) {
      step.undo()
      this.#shared.names.forget()
      throw error
    }
  }

  /** Takes lines out of the state, with transfers that only they needed. */
  #takeOut(step: Step, without: ReadonlySet<string>): LineModel[] {
    const { state, parts } = this.#shared
    const { lines, indexOf } = state.model
    const left = [...without].flatMap((id) => {
      const index = indexOf.line.get(id)
      return index === undefined ? [] : [lines[index]]
    })
    for (const line of left) {
      const placement = state.placements[line.index]
      if (placement) step.lift(placement)
    }
    step.settle()
    settleTransfers(state, step, (batch) => parts.get(batch)?.transfer)
    for (const line of left) step.leave(line)
    step.settle()
    return left
  }

  /** Lays lines, looks, and takes them out again. */
  #tryOut(step: Step, lines: readonly OrderLine[], how?: Explain): Tried {
    const { state } = this.#shared
    const laid: Laid = { lines: [], placements: [] }
    const placements = new Map<string, Placement>()
    try {
      layLines(state, lines, laid)
      const explain = how ?? explainer(state, PLAN_RELIEFS)
      const answers = laid.lines.map((line) => answerOf(state, line, explain))
      for (const placement of laid.placements) placements.set(placement.line.id, placement)
      return { lines, answers, placements }
    } finally {
      const touched = [...state.touched]
      liftLines(state, laid)
      for (const batch of touched) state.touched.add(batch)
      step.settle()
    }
  }

  /** Puts lines in for good, as a plan that is opened from its document would have them: what they take is filled for them. */
  #putIn(step: Step, coming: readonly Coming[], placements: ReadonlyMap<string, Placement>): LineModel[] {
    const { state } = this.#shared
    const came: LineModel[] = []
    for (const { wanted } of coming) {
      const line = addLine(state.model, wanted)
      // Compiled now, and known to the state by the step.
      state.model.lines.pop()
      step.enter(line)
      came.push(line)
    }
    const byId = new Map(came.map((line) => [line.id, line]))
    for (const placement of placements.values()) {
      const line = byId.get(placement.line.id)
      if (line) step.place(restock(state, step, placement, line))
    }
    step.settle()
    return came
  }

  #concluded(
    step: Step,
    left: readonly LineModel[],
    came: readonly LineModel[],
    coming: readonly Coming[],
    answers: readonly TrialAnswer[],
  ): Pick<Proposal, 'delta' | 'next'> {
    const shared = this.#shared
    const { state, names, verdicts } = shared
    const changes = shared.partChanges(step.touched)
    shared.settle(step, changes)
    const limits = new Map(answers.map((each) => [each.orderLineId, each.limits]))
    const verdictsBefore: Verdicts[] = left.flatMap(({ id }) => verdicts.get(id) ?? [])
    const verdictsAfter = came.map((line) => verdictsOf(state, line, ({ id }) => limits.get(id) ?? []))
    for (const { id } of left) step.put(verdicts, id, undefined)
    for (const [index, { id }] of came.entries()) {
      const each = verdictsAfter[index]
      if (each && Object.keys(each).length > 0) step.put(verdicts, id, each)
    }
    const lines = {
      left: left.map(({ id }) => id),
      deliveries: came.flatMap((line) => deliveriesOf(state, line, names)),
      before: verdictsBefore,
      after: verdictsAfter,
    }
    const delta = proposalDelta(changes, lines, shared.cost())
    const next = new LivePlan(shared, problemAfter(this.problem, new Set(lines.left), wantedOf(coming)))
    this.#via = { version: next, step, forward: false }
    return { delta, next }
  }

  /** The same from the documents, where taking lines out leaves others without what they need. */
  #proposeAnew(without: ReadonlySet<string>, decide: (trial: Trial) => readonly Coming[]): Proposal {
    const { plan } = this
    const left = problemAfter(this.problem, without, [])
    const held = openHeld({ ...left, baseline: plan }, withoutLines(this.problem, plan, without))
    const coming = decide(held.trial)
    const { answers, plan: placed } = held.trial.commit(placedOf(coming))
    const problem = problemAfter(this.problem, without, wantedOf(coming))
    const next = new LivePlan(opened(problem, placed).shared, problem)
    return { answers, delta: deltaBetween(plan, next.plan), next, inPlace: false }
  }

  /** Brings the state to this version. */
  #enter(): void {
    const path: LivePlan[] = []
    for (let at: LivePlan = this; at.#via; at = at.#via.version) path.push(at)
    for (const at of path.reverse()) {
      if (!at.#via) continue
      const { version, step, forward } = at.#via
      if (forward) step.redo()
      else step.undo()
      version.#via = { version: at, step, forward: !forward }
      at.#via = undefined
    }
  }
}
