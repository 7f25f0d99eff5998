// A plan open for trial placements: lines are placed in the plan as it stands, looked at, and taken out again; or kept.

import type { LocalDate } from '../calendar/days.ts'
import { localDateOf } from '../calendar/days.ts'
import { verifyPlan } from '../checker/verify-plan.ts'
import type { OrderLine, Plan, Problem } from '../documents/problem.ts'
import type { Reason } from '../documents/reason.ts'
import { explainer, PLAN_RELIEFS, TRIAL_RELIEFS } from '../explanation/explain.ts'
import { reuseReasons } from '../explanation/reuse-reasons.ts'
import { type InsertedLines, insertLines, removeLines } from '../insertion/joint-insertion.ts'
import { maxAvailableByDay } from '../insertion/max-available.ts'
import { lastServe } from '../model/batch.ts'
import type { LineModel } from '../model/model.ts'
import type { State } from '../model/state.ts'
import { type Explain, exportPlan } from '../opening/export.ts'
import type { Moved } from '../opening/fixed.ts'
import { reopen } from '../opening/reopen.ts'

export { type InsertedLines, insertLines, removeLines } from '../insertion/joint-insertion.ts'

export interface TrialSource {
  kind: 'STOCK' | 'FILLED' | 'BATCH' | 'NEW_BREW'
  quantity: number
  stockLotId?: string
  batchId?: string
  vesselId?: string
  fillerId?: string
  fillOn?: LocalDate
  brewOn?: LocalDate
  /** The day from which it is fit to leave: after conditioning (B3), or as the stock lot says; it may be over. */
  readyOn: LocalDate
}

export interface TrialDelivery {
  routeId: string
  dispatchOn: LocalDate
  /** The day from which it can be served: arrived and settled (B1). */
  fitOn: LocalDate
  /** The day on which it is served: that day, or the wanted one. */
  serveOn: LocalDate
  sources: TrialSource[]
}

export interface TrialAnswer {
  orderLineId: string
  quantity: number
  served: number
  /** Day of the last delivery's serving; null where nothing can be served. */
  serveOn: LocalDate | null
  onTime: boolean
  deliveries: TrialDelivery[]
  /** What binds the line, where it is late or not wholly served. */
  limits: Reason[]
}

export interface TrialManner {
  /** Leaves the limits empty, which saves most of the time of a line that is late. */
  unexplained?: boolean
}

export interface Trial {
  /**
   * Places the lines together beside all that the plan serves, each on the first day on which all of it can be served,
   * whatever that costs; looks; takes them out again. Asked with these days as the latest, it serves each no later.
   */
  promise(lines: OrderLine[], how?: TrialManner): TrialAnswer[]
  /**
   * The plan with the lines in it, as `promise` would place them; lines that cannot be served are listed as unserved.
   * Lines that stay late or unserved just as they were keep the reasons that the plan tells already: finding out anew
   * takes most of a second on a thousand lines.
   */
  commit(lines: OrderLine[]): { answers: TrialAnswer[]; plan: Plan }
  /**
   * The largest quantity, at most the wanted one, that is promised on each day from the `serveOn` of the line to its
   * `latestServeOn`, each day on its own and in one delivery.
   */
  maxAvailable(wanted: OrderLine & { latestServeOn: LocalDate }): number[]
  /** Containers of a line of the problem that are served in the plan as it was opened; what does not hold is not. */
  served(orderLineId: string): number
}

/** A plan that is open in a state. */
export interface OpenPlan {
  state: State
  moved: Moved[]
  /** The plan as a document, and its problem with the plan as baseline; asked for by `commit` only. */
  plan: () => Plan
  based: () => Problem
  /** Called before the state is looked at: it may be shared with other plans. */
  enter?: () => void
}

/**
 * Opens a valid plan of a problem. The plan's own deliveries, brews, transfers and runs stay; new lines may add to them.
 * Ids of the lines must not be in the problem.
 */
export function openTrial(problem: Problem, plan: Plan): Trial {
  const { based, state, moved } = reopen(problem, plan)
  return trialIn({ state, moved, plan: () => plan, based: () => based })
}

/** The same for a plan that is open already. Whatever looks at the state calls `enter` first. */
export function trialIn({ state, moved, plan, based, enter = () => {} }: OpenPlan): Trial {
  const { model } = state
  const tryLines = <T>(lines: OrderLine[], explain: Explain, then: (answers: TrialAnswer[]) => T): T => {
    enter()
    const inserted: InsertedLines = { lines: [], placements: [] }
    try {
      insertLines(state, lines, inserted)
      return then(inserted.lines.map((line) => answerOf(state, line, explain)))
    } finally {
      removeLines(state, inserted)
    }
  }

  return {
    served: (orderLineId) => {
      enter()
      const index = model.indexOf.line.get(orderLineId)
      return (index === undefined ? undefined : state.placements[index])?.delivered ?? 0
    },
    maxAvailable: (wanted) => {
      enter()
      return maxAvailableByDay(state, wanted)
    },
    promise: (lines, how) =>
      tryLines(lines, how?.unexplained ? () => [] : explainer(state, TRIAL_RELIEFS), (answers) => answers),
    commit: (lines) => {
      // The new lines are answered, so explained, before the plan's own.
      const explain = reuseReasons(state, plan(), explainer(state, PLAN_RELIEFS))
      return tryLines(lines, explain, (answers) => {
        const grown: Problem = { ...based(), orderLines: [...based().orderLines, ...lines] }
        return { answers, plan: verifyPlan(grown, exportPlan(state, moved, explain)) }
      })
    },
  }
}

/** How a line of the state is served; `explain` says what binds one that is late or short. */
export function answerOf(state: State, line: LineModel, explain: Explain): TrialAnswer {
  const { model } = state
  const placement = state.placements[line.index]
  const date = (day: number) => localDateOf(model.today + day)
  const last = lastServe(placement)
  const served = placement?.delivered ?? 0
  const onTime = served === line.quantity && last <= line.dueOn
  return {
    orderLineId: line.id,
    quantity: line.quantity,
    served,
    serveOn: last < 0 ? null : date(last),
    onTime,
    deliveries: (placement?.deliveries ?? []).map((delivery) => ({
      routeId: model.routes[delivery.route].id,
      dispatchOn: date(delivery.dispatch),
      fitOn: date(delivery.dispatch + model.routes[delivery.route].transit + line.settle),
      serveOn: date(delivery.serve),
      sources: [
        ...delivery.lots.map(
          ({ lot, quantity }): TrialSource => ({
            kind: 'STOCK',
            quantity,
            stockLotId: model.lots[lot].id,
            readyOn: date(model.lots[lot].readyOn),
          }),
        ),
        ...delivery.runs.map((take): TrialSource => {
          const { batch } = take
          const { id } = state.identity(batch)
          const vessel = model.packs[take.pack].bright ? batch.bright : batch.fermenter
          return {
            kind: take.fromSurplus > 0 ? 'FILLED' : batch.standing >= 0 || id !== undefined ? 'BATCH' : 'NEW_BREW',
            quantity: take.quantity,
            ...(id === undefined ? {} : { batchId: id }),
            vesselId: model.vessels[vessel].id,
            fillerId: model.fillers[take.filler].id,
            fillOn: date(take.day),
            readyOn: date(take.day + model.packs[take.pack].conditioning),
            ...(batch.brewOn >= 0 ? { brewOn: date(batch.brewOn) } : {}),
          }
        }),
      ],
    })),
    limits: onTime ? [] : explain(line),
  }
}
