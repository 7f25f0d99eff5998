// Why a line is late or not served: with every limit lifted it is placed once more, on time; then the limits are put
// back one by one. Those that cannot come back without losing the line bind it; where one alone does, it alone is reported.
import { localDateOf } from '../calendar/days.ts'
import type { Reason } from '../documents/reason.ts'
import type { RuleNumber } from '../documents/rule-numbers.ts'
import { fillWindows } from '../insertion/option.ts'
import type { Window } from '../insertion/source.ts'
import type { LineModel } from '../model/model.ts'
import { dispatchOptions, OPTION_SIZE, soldUntil } from '../model/options.ts'
import { isServedOnTime } from '../model/promises.ts'
import type { State } from '../model/state.ts'
import { UndoLog } from '../model/undo-log.ts'
import type { Explain } from '../opening/export.ts'
import { cutOffs, withoutCutOffs } from '../rules/cut-off/relaxation.ts'
import type { Relaxation } from '../rules/relaxation.ts'
import { RELAXATIONS } from '../rules/relaxations.ts'
import { type Effort, findReliefs } from './find-reliefs.ts'
import { onTimeVariant, servesOnTime, withLineLifted } from './on-time.ts'

/** How much trying the reliefs may cost: trial placements for all lines together, and for one line. */
export interface ReliefEffort {
  trials: number
  perLine: number
}

/** For a whole plan: about half a second on a full plan of 5,000 lines; the most important lines come first. */
export const PLAN_RELIEFS: ReliefEffort = { trials: 5000, perLine: 300 }
/** For the lines of one promise. */
export const TRIAL_RELIEFS: ReliefEffort = { trials: 600, perLine: 300 }

/** Explains lines of the plan as it stands, in the order in which it is asked. The state is as before afterwards. */
export function explainer(state: State, effort: ReliefEffort): Explain {
  const known = new Map<LineModel, Reason[]>()
  let left = effort.trials
  return (line) => {
    let reasons = known.get(line)
    if (!reasons) {
      const given = Math.min(left, effort.perLine)
      const mine = { trials: given }
      reasons = explainLine(state, line, mine)
      left -= given - Math.max(0, mine.trials)
      known.set(line, reasons)
    }
    return reasons
  }
}

/** As `explainer`, but the effort goes to promised lines first, then by priority, then in the order of the lines. */
export function explainerByPriority(state: State, effort: ReliefEffort): Explain {
  const explain = explainer(state, effort)
  let ranked = false
  return (line) => {
    if (!ranked) {
      ranked = true
      const wanting = state.model.lines.filter((each) => !isServedOnTime(state, each))
      wanting.sort((a, b) => Number(b.promised) - Number(a.promised) || a.priority - b.priority || a.index - b.index)
      for (const each of wanting) explain(each)
    }
    return explain(line)
  }
}

function explainLine(state: State, line: LineModel, effort: Effort): Reason[] {
  return withLineLifted(state, line, () => {
    const { limits, alone, helpless } = limitsOf(state, line)
    if (helpless) {
      if (effort.trials > 0) addReliefs(state, line, limits, alone, effort)
      else limits.push({ rule: 'E1', code: 'RELIEFS_NOT_SOUGHT' })
    }
    return limits
  })
}

/** Puts each relief to the limit that it lifts, or beside them; says so where there is none. */
function addReliefs(
  state: State,
  line: LineModel,
  limits: Reason[],
  alone: ReadonlySet<RuleNumber>,
  effort: Effort,
): void {
  const { found, complete } = findReliefs(state, line, alone, effort)
  const spared: Reason[] = []
  for (const { rule, resource, relief, params } of found) {
    const limit = limits.find((each) => each.rule === rule && !each.relief)
    const all = limit?.params || params ? { params: { ...limit?.params, ...params } } : {}
    if (limit) Object.assign(limit, { ...all, resource, relief })
    else spared.push({ rule, code: 'RELIEF_FOUND', ...all, resource, relief })
  }
  limits.push(...spared)
  if (found.length === 0) limits.push({ rule: 'E1', code: complete ? 'NO_RELIEF_FOUND' : 'NO_RELIEF_IN_TRIES' })
}

interface Limits {
  limits: Reason[]
  /** Rules of which one alone, lifted, would serve the line. */
  alone: ReadonlySet<RuleNumber>
  /** The line cannot be served on time in the plan as it stands, whatever it costs. */
  helpless: boolean
}

const NONE: ReadonlySet<RuleNumber> = new Set()

/** What binds a line that is not in the plan. */
function limitsOf(state: State, line: LineModel): Limits {
  const { model } = state
  const reach = withoutCutOffs(model, line)
  if (reach.options.length === 0) return { limits: [noDispatch(state, line)], alone: NONE, helpless: true }
  const usable = [...fillWindows(state, reach)].filter(([, window]) => window.from <= window.to)
  if (usable.length === 0 && model.lotsByPack[line.pack].length === 0)
    return { limits: [noDayToFill(state, line)], alone: NONE, helpless: true }
  const span = spanOf(usable.map(([, window]) => window))
  const dates =
    span.from <= span.to ? { from: localDateOf(model.today + span.from), to: localDateOf(model.today + span.to) } : {}
  if (onTimeVariant(reach).options.length === 0)
    return { limits: [{ ...noDispatch(state, line), ...dates }], alone: NONE, helpless: true }
  if (servesOnTime(state, line)) {
    const cost: Reason = { rule: 'COST', code: 'COSTS_MORE', ...dates }
    return { limits: [cost], alone: NONE, helpless: false }
  }
  const { binding, alone } = bindingLimits(state, line)
  const limits = binding.map((each) => ({ ...each.reason(state, line), ...dates }))
  if (limits.length === 0) limits.push(...withAllLifted(state, reach, usable).map((each) => ({ ...each, ...dates })))
  // B6: where no day that is in time is left by the cut-offs, they bind, whatever else does.
  if (reach !== line && onTimeVariant(line).options.length === 0 && !limits.some(({ rule }) => rule === cutOffs.rule))
    limits.push({ ...cutOffs.reason(state, line), ...dates })
  return { limits, alone: alone ? new Set(binding.map((each) => each.rule)) : NONE, helpless: true }
}

/** Why the line cannot be served on time even with every limit lifted. */
function withAllLifted(state: State, line: LineModel, usable: readonly [number, Window][]): Reason[] {
  // Where every fill that is in time lies in the past, stock alone could serve the line, and has too little left.
  if (usable.every(([, { from, onTimeTo }]) => from > onTimeTo))
    return [noDayToFill(state, line), ...(fitsSomeLot(state, line) ? [stockIsShort(state, line)] : [])]
  if (asksTooMuch(state, line)) return [{ rule: 'A3', code: 'ASKS_TOO_MUCH' }]
  return [{ rule: 'B4', code: 'NO_DAYS_ON_SALE', params: { packId: state.model.packs[line.pack].id } }]
}

/** B3: no fill from today on would be in time. */
function noDayToFill({ model }: State, line: LineModel): Reason {
  return {
    rule: 'B3',
    code: 'NO_DAY_TO_FILL',
    params: { packId: model.packs[line.pack].id },
    resource: { kind: 'ACCOUNT', id: model.problem.accounts[line.account].id },
  }
}

/** A2: what stock would be fit for the line does not suffice. */
function stockIsShort({ model }: State, line: LineModel): Reason {
  return {
    rule: 'A2',
    code: 'STOCK_IS_SHORT',
    params: { packId: model.packs[line.pack].id },
    resource: { kind: 'PACK', id: model.packs[line.pack].id },
  }
}

/** Whether any stock lot that is not quarantined, were it not given to others, could serve the line on time (B3, B4, V8). */
function fitsSomeLot({ model }: State, line: LineModel): boolean {
  const { options } = onTimeVariant(line)
  return model.lotsByPack[line.pack].some((index) => {
    const { site, readyOn, bestBefore, quarantined } = model.lots[index]
    if (quarantined) return false
    for (let at = 0; at < options.length; at += OPTION_SIZE)
      if (
        model.routes[options[at]].site === site &&
        readyOn <= options[at + 1] &&
        bestBefore >= soldUntil(model, line, options[at + 2])
      )
        return true
    return false
  })
}

/** Whether a single container could be served where the line cannot, with every limit lifted. */
function asksTooMuch(state: State, line: LineModel): boolean {
  return servedWithout(state, line, RELAXATIONS, { ...line, quantity: 1 })
}

/** Would the line be served on time with some of its limits lifted? Or what is `asked` in its place. */
function servedWithout(state: State, line: LineModel, limits: readonly Relaxation[], asked = line): boolean {
  const log = new UndoLog(state)
  try {
    for (const each of limits) each.lift(log, line)
    return servesOnTime(state, asked)
  } finally {
    log.undo()
  }
}

/**
 * The limits of which each alone would have to give way, else a set, found greedily, that would have to together; empty
 * where even all of them do not help.
 */
function bindingLimits(state: State, line: LineModel): { binding: Relaxation[]; alone: boolean } {
  const binding: Relaxation[] = []
  const served = (lifted: readonly Relaxation[]) => servedWithout(state, line, lifted)
  const limits = RELAXATIONS.filter((each) => each.matters(state, line))
  if (!served(limits)) return { binding, alone: false }
  const single = limits.filter((each) => served([each]))
  if (single.length > 0) return { binding: single.reverse(), alone: true }
  for (const [index, relaxation] of limits.entries()) {
    if (!served([...binding, ...limits.slice(index + 1)])) binding.push(relaxation)
  }
  return { binding: binding.reverse(), alone: false }
}

function noDispatch(state: State, line: LineModel): Reason {
  const { model } = state
  const { id, routeIds } = model.problem.accounts[line.account]
  const params = { accountId: id }
  const account = { kind: 'ACCOUNT', id }
  if (routeIds.length === 0) return { rule: 'B2', code: 'ON_NO_ROUTE', params, resource: account }
  const sooner = { ...line, notBefore: 0, latestServeOn: Math.min(line.latestServeOn, line.dueOn) }
  // Within the frozen days a promised line is not brought forward.
  if (line.notBefore > line.serveOn && dispatchOptions(model, sooner).length > 0)
    return { rule: 'F1', code: 'PROMISE_NOT_FORWARD', params, resource: account }
  return { rule: 'B2', code: 'NO_ROUTE_IN_TIME', params, resource: { kind: 'ROUTE', id: routeIds[0] } }
}

function spanOf(windows: Window[]): { from: number; to: number } {
  return {
    from: Math.max(0, Math.min(...windows.map((window) => window.from))),
    to: Math.max(...windows.map((window) => Math.max(window.onTimeTo, Math.min(window.from, window.to)))),
  }
}
