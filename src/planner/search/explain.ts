// Why a line is late or not served: with every limit lifted it is placed once more, on time; then the limits are put
// back one by one. Those that cannot come back without losing the line bind it; where one alone does, it is told alone.
import { localDateOf } from '../days.ts'
import type { Reason } from '../problem.ts'
import type { Explain } from './export.ts'
import type { LineModel } from './model.ts'
import { OPTION_SIZE } from './options.ts'
import { fillWindows, place } from './place.ts'
import { RELAXATIONS, type Relaxation } from './relaxations.ts'
import { EXACT, type Window } from './sources.ts'
import type { State } from './state.ts'

/** Explains lines of the plan as it stands. The state is as before afterwards. */
export function explainer(state: State): Explain {
  return (line) => explainLine(state, line)
}

function explainLine(state: State, line: LineModel): Reason[] {
  const { model } = state
  if (line.options.length === 0) return [noDispatch(state, line)]
  const windows = fillWindows(state, line)
  const usable = [...windows].filter(([, window]) => window.from <= window.to)
  const hasStock = model.lotsByPack[line.pack].length > 0
  const account = model.problem.accounts[line.account].id
  if (usable.length === 0 && !hasStock) {
    return [
      {
        rule: 'B3',
        resource: { kind: 'ACCOUNT', id: account },
        message:
          'No day is left on which this could be filled: conditioning, the journey and settling take longer than there is time, or the beer would be past its best.',
      },
    ]
  }
  const placement = state.placements[line.index]
  if (placement) state.remove(placement)
  const onTime = onTimeVariant(line)
  const reasons: Reason[] = []
  const span = spanOf(usable.map(([, window]) => window))
  const dates =
    span.from <= span.to ? { from: localDateOf(model.today + span.from), to: localDateOf(model.today + span.to) } : {}
  if (onTime.options.length === 0) {
    reasons.push({ ...noDispatch(state, line), ...dates })
  } else if (place(state, onTime, EXACT, true)) {
    reasons.push({
      rule: 'COST',
      ...dates,
      message:
        'It could be served on time, but that would cost more than it saves: for so few litres a new brew or set-up does not pay, or other orders would lose more.',
    })
  } else {
    for (const relaxation of bindingLimits(state, line, onTime)) {
      reasons.push({ ...relaxation.reason(state, line), ...dates })
    }
    if (reasons.length === 0) {
      reasons.push({
        rule: 'B4',
        ...dates,
        message:
          'No fill would leave it enough days on sale before its best before, or it asks for more than vessels and fillers of these sites ever give in one delivery.',
      })
    }
  }
  if (placement) state.apply(placement)
  return reasons
}

/**
 * The limits of which each alone would have to give way, else a set, found greedily, that would have to together; empty
 * where even all of them do not help.
 */
function bindingLimits(state: State, line: LineModel, onTime: LineModel): Relaxation[] {
  const binding: Relaxation[] = []
  const served = (lifted: readonly Relaxation[]): boolean => {
    const undos = lifted.map((each) => each.lift(state, line))
    const found = place(state, onTime, EXACT, true) !== undefined
    for (const undo of undos.reverse()) undo()
    return found
  }
  if (!served(RELAXATIONS)) return binding
  const single = RELAXATIONS.filter((each) => served([each]))
  if (single.length > 0) return single.reverse()
  for (const [index, relaxation] of RELAXATIONS.entries()) {
    if (!served([...binding, ...RELAXATIONS.slice(index + 1)])) binding.push(relaxation)
  }
  return binding.reverse()
}

/** The line as if it had to be served on time. */
function onTimeVariant(line: LineModel): LineModel {
  const options: number[] = []
  for (let at = 0; at < line.options.length; at += OPTION_SIZE) {
    if (line.options[at + 2] <= line.dueOn) options.push(line.options[at], line.options[at + 1], line.options[at + 2])
  }
  return { ...line, options: Int32Array.from(options), splittable: false }
}

function noDispatch(state: State, line: LineModel): Reason {
  const { model } = state
  const account = model.problem.accounts[line.account]
  if (account.routeIds.length === 0) {
    return { rule: 'B2', resource: { kind: 'ACCOUNT', id: account.id }, message: 'The account is on no route.' }
  }
  return {
    rule: 'B2',
    resource: { kind: 'ROUTE', id: account.routeIds[0] },
    message: "None of the account's routes runs in time to arrive and settle before the serve day.",
  }
}

function spanOf(windows: Window[]): { from: number; to: number } {
  return {
    from: Math.max(0, Math.min(...windows.map((window) => window.from))),
    to: Math.max(...windows.map((window) => Math.max(window.onTimeTo, Math.min(window.from, window.to)))),
  }
}
