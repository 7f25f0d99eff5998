// A plan open for trial placements: lines are placed in the plan as it stands, looked at, and taken out again; or kept.
import { dayNumber, localDateOf } from './days.ts'
import { finished } from './finish.ts'
import type { LocalDate, OrderLine, Plan, Problem, Reason } from './problem.ts'
import { reopen } from './relief/reopen.ts'
import { addLine } from './search/compile.ts'
import { explainer, PLAN_RELIEFS, TRIAL_RELIEFS } from './search/explain.ts'
import { type Explain, exportPlan } from './search/export.ts'
import type { Moved } from './search/fixed.ts'
import type { LineModel } from './search/model.ts'
import { place } from './search/place.ts'
import { EXACT } from './search/sources.ts'
import { lastServe, type Placement, type State } from './search/state.ts'

/** What a unit served a day later weighs in a trial. */
const A_DAY_LATER = 1e3

export interface TrialSource {
  kind: 'STOCK' | 'FILLED' | 'BATCH' | 'NEW_BREW'
  quantity: number
  stockLotId?: string
  batchId?: string
  vesselId?: string
  fillerId?: string
  fillOn?: LocalDate
  brewOn?: LocalDate
}

export interface TrialAnswer {
  orderLineId: string
  quantity: number
  served: number
  /** Day of the last delivery's serving; null where nothing can be served. */
  serveOn: LocalDate | null
  onTime: boolean
  deliveries: { routeId: string; dispatchOn: LocalDate; serveOn: LocalDate; sources: TrialSource[] }[]
  /** What binds the line, where it is late or not wholly served. */
  limits: Reason[]
}

export interface TrialManner {
  /** Leaves the limits empty, which saves most of the time of a line that is late. */
  unexplained?: boolean
  /** Serves each line on the first day on which all of it can be served beside those before it, whatever that costs. */
  earliest?: boolean
}

export interface Trial {
  /** Places the lines together, in this order, beside all that the plan serves; looks; takes them out again. */
  promise(lines: OrderLine[], how?: TrialManner): TrialAnswer[]
  /**
   * The plan with the lines in it, as `promise` would place them; lines that cannot be served are listed as unserved.
   * Lines that stay late or unserved just as they were keep the reasons that the plan tells already: finding out anew
   * takes most of a second on a thousand lines.
   */
  commit(lines: OrderLine[]): { answers: TrialAnswer[]; plan: Plan }
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
  const tryLines = <T>(
    lines: OrderLine[],
    explain: Explain,
    then: (answers: TrialAnswer[]) => T,
    how: TrialManner = {},
  ): T => {
    enter()
    const laid: Laid = { lines: [], placements: [] }
    try {
      layLines(state, lines, how, laid)
      return then(laid.lines.map((line) => answerOf(state, line, explain)))
    } finally {
      liftLines(state, laid)
    }
  }

  return {
    served: (orderLineId) => {
      enter()
      const index = model.indexOf.line.get(orderLineId)
      return (index === undefined ? undefined : state.placements[index])?.delivered ?? 0
    },
    promise: (lines, how) =>
      tryLines(lines, how?.unexplained ? () => [] : explainer(state, TRIAL_RELIEFS), (answers) => answers, how),
    commit: (lines) => {
      // The new lines are answered, so explained, before the plan's own.
      const anew = explainer(state, PLAN_RELIEFS)
      const told = toldReasons(plan())
      const explain: Explain = (line) => {
        const placement = state.placements[line.index]
        const last = lastServe(placement)
        const served = { quantity: placement?.delivered ?? 0, last: last < 0 ? '' : localDateOf(model.today + last) }
        return told(line.id, served) ?? anew(line)
      }
      return tryLines(lines, explain, (answers) => {
        const grown: Problem = { ...based(), orderLines: [...based().orderLines, ...lines] }
        return { answers, plan: finished(grown, exportPlan(state, moved, explain)) }
      })
    },
  }
}

/** Lines that were laid into a state, and what serves them. */
export interface Laid {
  lines: LineModel[]
  placements: Placement[]
}

/** Lays lines into the plan as it stands, in this order, each beside those before it; notes in `laid` what it did so far. */
export function layLines(state: State, lines: readonly OrderLine[], { earliest }: TrialManner, laid: Laid): void {
  for (const each of lines) {
    const line = addLine(state.model, earliest ? atTheEarliest(state, each) : each)
    laid.lines.push(line)
    state.lineAdded(line)
    // A customer asks for the earliest day, not for the cheapest: a day later weighs more than any cost.
    const found = place(state, { ...line, lateRate: A_DAY_LATER }, EXACT, true)
    if (!found) continue
    const placement = { ...found.placement, line }
    state.apply(placement)
    laid.placements.push(placement)
  }
}

/** Takes out again what `layLines` laid last. */
export function liftLines(state: State, { lines, placements }: Laid): void {
  for (const placement of placements.reverse()) state.remove(placement)
  for (const line of lines.reverse()) forget(state, line)
  state.touched.clear()
}

function forget(state: State, line: LineModel): void {
  state.lineRemoved(line)
  state.model.lines.pop()
  state.model.indexOf.line.delete(line.id)
}

/** First day on which all of a line can be served, if it may be served until `latestServeOn`. */
function servedBy(state: State, each: OrderLine, latestServeOn: LocalDate | undefined): number | undefined {
  const { model } = state
  const line = addLine(model, { ...each, latestServeOn })
  state.lineAdded(line)
  try {
    const placement = place(state, line, EXACT, true)?.placement
    if (placement?.delivered !== line.quantity) return undefined
    return model.today + Math.max(...placement.deliveries.map(({ serve }) => serve))
  } finally {
    forget(state, line)
  }
}

/** The line with the first day on which all of it can be served as its latest; as it is where there is none. */
function atTheEarliest(state: State, each: OrderLine): OrderLine {
  const wanted = dayNumber(each.serveOn)
  let day = servedBy(state, each, each.serveOn) ?? servedBy(state, each, each.latestServeOn)
  if (day === undefined) return each
  for (let tooEarly = wanted; day > tooEarly + 1; ) {
    const between = Math.floor((tooEarly + day) / 2)
    const served = servedBy(state, each, localDateOf(between))
    if (served === undefined) tooEarly = between
    else day = served
  }
  return { ...each, latestServeOn: localDateOf(Math.max(day, wanted)) }
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
      serveOn: date(delivery.serve),
      sources: [
        ...delivery.lots.map(
          (take): TrialSource => ({ kind: 'STOCK', quantity: take.quantity, stockLotId: model.lots[take.lot].id }),
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
            ...(batch.brewOn >= 0 ? { brewOn: date(batch.brewOn) } : {}),
          }
        }),
      ],
    })),
    limits: onTime ? [] : explain(line),
  }
}

interface Served {
  quantity: number
  /** Day of the last serving; '' where there is none. */
  last: LocalDate
}

/** The reasons that a plan tells of a line, if it is served just as the plan serves it. */
function toldReasons(plan: Plan): (lineId: string, now: Served) => Reason[] | undefined {
  const served = new Map<string, Served>()
  for (const { orderLineId, serveOn, from } of plan.deliveries) {
    const each = served.get(orderLineId) ?? { quantity: 0, last: '' }
    each.quantity += from.reduce((sum, { quantity }) => sum + quantity, 0)
    if (serveOn > each.last) each.last = serveOn
    served.set(orderLineId, each)
  }
  const reasons = new Map([...(plan.late ?? []), ...plan.unserved].map((each) => [each.orderLineId, each.reasons]))
  return (lineId, now) => {
    const before = served.get(lineId) ?? { quantity: 0, last: '' }
    return before.quantity === now.quantity && before.last === now.last ? reasons.get(lineId) : undefined
  }
}
