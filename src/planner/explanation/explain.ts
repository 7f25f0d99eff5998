// Why a line is late or not served: with every limit lifted it is placed once more, on time; then the limits are put
// back one by one. Those that cannot come back without losing the line bind it; where one alone does, one is reported.
import { localDateOf } from '../calendar/days.ts'
import type { Reason } from '../documents/reason.ts'
import type { RuleNumber } from '../documents/rule-numbers.ts'
import { fillWindows } from '../insertion/option.ts'
import type { Window } from '../insertion/source.ts'
import { element } from '../model/element.ts'
import type { LineModel } from '../model/model.ts'
import { isServedOnTime } from '../model/promises.ts'
import type { State } from '../model/state.ts'
import { UndoLog } from '../model/undo-log.ts'
import type { Explain } from '../opening/export.ts'
import { cutOffs, withoutCutOffs } from '../rules/cut-off/relaxation.ts'
import { frozen } from '../rules/frozen-decisions/relaxation.ts'
import type { Relaxation } from '../rules/relaxation.ts'
import { RELAXATIONS } from '../rules/relaxations.ts'
import { beyondLimits, noDayToFill, noDispatch } from './beyond-limits.ts'
import { type Effort, findReliefs } from './find-reliefs.ts'
import { onTimeVariant, servesOnTime, withLineLifted } from './on-time.ts'

/** How much explaining may cost: trial placements of reliefs for all lines together, and for one line, and what a clock says. */
export interface ReliefEffort {
  trials: number
  perLine: number
  /** Share of the time for explaining that has passed, asked before each line. From 1 on nothing is tried any more. Always 0 unless given. */
  passed?: () => number
}

/** Share of the time for explaining after which limits alone are looked for: most lines have them, in a fraction of the time. */
const RELIEFS_UP_TO = 0.5

/** For a whole plan: about half a second on a full plan of 5,000 lines; the most important lines come first. */
export const PLAN_RELIEFS: ReliefEffort = { trials: 5000, perLine: 300 }
/** For the lines of one promise. */
export const TRIAL_RELIEFS: ReliefEffort = { trials: 600, perLine: 300 }

/** Explains lines of the plan as it stands, in the order in which it is asked. The state is as before afterwards. */
export function explainer(state: State, effort: ReliefEffort): Explain {
  const known = new Map<LineModel, Reason[]>()
  let left = effort.trials
  let passed = 0
  return (line) => {
    let reasons = known.get(line)
    if (!reasons) {
      passed = passed < 1 ? (effort.passed?.() ?? 0) : 1
      const given = passed < RELIEFS_UP_TO ? Math.min(left, effort.perLine) : 0
      const mine = { trials: given }
      reasons = passed < 1 ? explainLine(state, line, mine) : withLineLifted(state, line, () => atOnce(state, line))
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
      else limits.push(notSought())
    }
    return limits
  })
}

function notSought(): Reason {
  return { rule: 'E1', code: 'RELIEFS_NOT_SOUGHT' }
}

/** What is said of a line for which no time is left: what calendars and spans alone rule out (B5), and that no more was looked for. */
function atOnce(state: State, line: LineModel): Reason[] {
  const reach = withoutCutOffs(state.model, line)
  if (onTimeVariant(reach).options.length === 0) return [noDispatch(state, line), notSought()]
  if (usableWindows(state, reach).length === 0) return [noDayToFill(state, line), notSought()]
  const byCutOff = reach !== line && usableWindows(state, line).length === 0
  return byCutOff ? [cutOffs.reason(state, line), notSought()] : [notSought()]
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
  const usable = usableWindows(state, reach)
  if (usable.length === 0 && element(model.lotsByPack, line.pack).length === 0)
    return { limits: [noDayToFill(state, line)], alone: NONE, helpless: true }
  const span = spanOf(usable)
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
  if (limits.length === 0) {
    const best = beyondLimits(state, reach, (asked) => servedWithout(state, line, RELAXATIONS, asked))
    // B6: no day that is in time is left by the cut-offs either.
    if (reach !== line && onTimeVariant(line).options.length === 0) best.push(cutOffs.reason(state, line))
    limits.push(...best.map((each) => ({ ...each, ...dates })))
  }
  return { limits, alone, helpless: true }
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
 * Limits that, lifted together, serve the line, while with any one of them in its place the others do not: one alone where
 * one does, the last of the list, else what is left of all limits as they are put back in the order of the list. Empty where
 * even all of them do not help. `alone` names each rule that would do alone.
 */
function bindingLimits(
  state: State,
  line: LineModel,
): { binding: readonly Relaxation[]; alone: ReadonlySet<RuleNumber> } {
  const served = (lifted: readonly Relaxation[]) => servedWithout(state, line, lifted)
  const limits = RELAXATIONS.filter((each) => each.matters(state, line))
  if (!served(limits)) return { binding: [], alone: NONE }
  const single = limits.filter((each) => served([each]))
  if (single.length > 0) return { binding: single.slice(-1), alone: new Set(single.map(({ rule }) => rule)) }
  let lifted = limits
  let before: number
  do {
    // Once more where any came back: by less freedom the search may find what it missed by more.
    before = lifted.length
    for (const each of lifted) {
      const others = lifted.filter((other) => other !== each)
      if (served(others)) lifted = others
    }
  } while (lifted.length < before)
  return { binding: [...lifted].reverse(), alone: NONE }
}

/** Windows of fill days that can serve the line, one for each site. Where the frozen days (F1) leave none, those that there would be without them. */
function usableWindows(state: State, line: LineModel): Window[] {
  const usable = () => [...fillWindows(state, line).values()].filter(({ from, to }) => from <= to)
  const windows = usable()
  if (windows.length > 0) return windows
  const log = new UndoLog(state)
  try {
    frozen.lift(log, line)
    return usable().filter(({ to }) => to >= 0)
  } finally {
    log.undo()
  }
}

function spanOf(windows: Window[]): { from: number; to: number } {
  return {
    from: Math.max(0, Math.min(...windows.map((window) => window.from))),
    to: Math.max(...windows.map((window) => Math.max(window.onTimeTo, Math.min(window.from, window.to)))),
  }
}
