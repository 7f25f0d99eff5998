// A plan open for trial placements: lines are placed in the plan as it stands, looked at, and taken out again; or kept.

import type { LocalDate } from '../calendar/days.ts'
import { verifyPlan } from '../checker/verify-plan.ts'
import type { OrderLine, Plan, Problem } from '../documents/problem.ts'
import { explainer, PLAN_RELIEFS, TRIAL_RELIEFS } from '../explanation/explain.ts'
import { reuseReasons } from '../explanation/reuse-reasons.ts'
import { type InsertedLines, insertedSoonest, whileInserted } from '../insertion/joint-insertion.ts'
import { maxAvailableByDay } from '../insertion/max-available.ts'
import type { State } from '../model/state.ts'
import { type Explain, exportPlan } from '../opening/export.ts'
import type { Moved } from '../opening/fixed.ts'
import { reopen } from '../opening/reopen.ts'
import {
  type GaveWay,
  gaveWay,
  isMoved,
  whileLifted,
  wishesAmong,
  withFewestLifted,
  withWishesLifted,
} from './give-way.ts'
import { answerOf, type TrialAnswer } from './trial-answer.ts'

export interface TrialManner {
  /** Leaves the limits empty, which saves most of the time of a line that is late. */
  unexplained?: boolean
}

export interface Trial {
  /**
   * Places the lines together beside all that the plan serves, each on the first day on which all of it can be served,
   * whatever that costs; looks; takes them out again. Asked with these days as the latest, it serves each no later. Where the
   * plan was opened so, wishes give way to lines that would be late.
   */
  promise(lines: OrderLine[], how?: TrialManner): TrialAnswer[]
  /** The wishes that would be served otherwise than now if the lines were placed as `promise` says. */
  gaveWay(lines: OrderLine[]): GaveWay[]
  /**
   * The plan with the lines in it, as `promise` would place them; lines that cannot be served are listed as unserved.
   * Lines that stay late or unserved just as they were keep the reasons that the plan lists already: finding out anew
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
  /** How a line of the problem is served in the plan as it was opened, without its limits; undefined where there is no such line. */
  answer(orderLineId: string): TrialAnswer | undefined
}

/** A plan that is open in a state. */
export interface OpenPlan {
  state: State
  moved: Moved[]
  /** The plan as a document, and its problem with the plan as baseline; asked for by `commit` only. */
  plan: () => Plan
  based: () => Problem
  /** Whether lines without a promise give way to those that are asked for. Absent: all lines keep what they have. */
  wishesGiveWay?: boolean
  /** Called before the state is looked at: it may be shared with other plans. */
  enter?: () => void
}

/**
 * Opens a valid plan of a problem. The plan's own deliveries, brews, transfers and runs stay; new lines may add to them.
 * Ids of the lines must not be in the problem.
 */
export function openTrial(
  problem: Problem,
  plan: Plan,
  { wishesGiveWay }: Pick<OpenPlan, 'wishesGiveWay'> = {},
): Trial {
  const { based, state, moved } = reopen(problem, plan)
  return trialIn({ state, moved, plan: () => plan, based: () => based, wishesGiveWay })
}

/** The same for a plan that is open already. Whatever looks at the state calls `enter` first. */
export function trialIn({ state, moved, plan, based, wishesGiveWay = false, enter = () => {} }: OpenPlan): Trial {
  const { model } = state
  const tryLines = <T>(lines: OrderLine[], then: (inserted: InsertedLines) => T): T => {
    try {
      return whileInserted(state, lines, then)
    } finally {
      state.touched.clear()
    }
  }
  const answers = (lines: OrderLine[], explain: Explain) =>
    tryLines(lines, (inserted) => inserted.lines.map((line) => answerOf(state, line, explain)))
  /** The answers unexplained, and the wishes that are lifted for them: all that might give way, or the fewest. */
  const placed = (lines: OrderLine[], lift = withWishesLifted<{ answers: TrialAnswer[] }>) => {
    const attempt = () => ({ answers: answers(lines, () => []) })
    const standing = attempt()
    return wishesGiveWay ? lift(state, lines, standing, attempt) : { result: standing, wishes: [] }
  }

  return {
    served: (orderLineId) => {
      enter()
      return state.placements[indexOf(state, orderLineId)]?.delivered ?? 0
    },
    answer: (orderLineId) => {
      enter()
      const line = model.lines[indexOf(state, orderLineId)]
      return line && answerOf(state, line, () => [])
    },
    maxAvailable: (wanted) => {
      enter()
      const standing = maxAvailableByDay(state, wanted)
      const wishes = wishesGiveWay ? wishesAmong(state, [wanted]) : []
      if (wishes.length === 0) return standing
      const lifted = whileLifted(state, wishes, () => maxAvailableByDay(state, wanted))
      return standing.map((quantity, day) => Math.max(quantity, lifted[day] ?? 0))
    },
    promise: (lines, how) => {
      enter()
      const { result, wishes } = placed(lines)
      if (how?.unexplained || result.answers.every(({ onTime }) => onTime)) return result.answers
      return whileLifted(state, wishes, () => answers(lines, explainer(state, TRIAL_RELIEFS)))
    },
    gaveWay: (lines) => {
      enter()
      const first = placed(lines)
      if (first.wishes.length === 0) return []
      // These days are what is promised: by them fewer wishes may have to give way.
      const dated = lines.map((line, index) => ({
        ...line,
        latestServeOn: first.result.answers[index]?.serveOn ?? line.serveOn,
      }))
      const { result, wishes } = placed(dated, withFewestLifted)
      const keeps = result.answers.every(({ served, quantity }) => served === quantity)
      return whileLifted(state, keeps ? wishes : first.wishes, (lifted) =>
        tryLines(dated, () => {
          const again = insertedSoonest(
            state,
            lifted.map(({ line }) => line),
          )
          const placements = new Map(again.map((placement) => [placement.line.index, placement]))
          return lifted.map((wish) => gaveWay(state, wish, placements.get(wish.line.index))).filter(isMoved)
        }),
      )
    },
    commit: (lines) => {
      enter()
      // The new lines are answered, so explained, before the plan's own.
      const explain = reuseReasons(state, plan(), explainer(state, PLAN_RELIEFS))
      return tryLines(lines, (inserted) => {
        const answered = inserted.lines.map((line) => answerOf(state, line, explain))
        const grown: Problem = { ...based(), orderLines: [...based().orderLines, ...lines] }
        return { answers: answered, plan: verifyPlan(grown, exportPlan(state, moved, explain)) }
      })
    },
  }
}

/** The place of a line among those of the model; -1 where there is none. */
function indexOf({ model }: State, orderLineId: string): number {
  return model.indexOf.line.get(orderLineId) ?? -1
}
