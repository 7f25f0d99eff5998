// Why a line is late or not served: the line is placed once more with one limit lifted at a time. What then serves it
// on time is what binds it.
import { localDateOf } from '../days.ts'
import type { Reason } from '../problem.ts'
import type { Explain } from './export.ts'
import { fleetIndex, type LineModel } from './model.ts'
import { OPTION_SIZE } from './options.ts'
import { fillWindows, place } from './place.ts'
import { RELAXATIONS } from './relaxations.ts'
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
  const span = { ...spanOf(usable.map(([, window]) => window)), ...{} }
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
    for (const relaxation of RELAXATIONS) {
      const undo = relaxation.lift(state, line)
      const helped = place(state, onTime, EXACT, true) !== undefined
      undo()
      if (helped) reasons.push({ ...relaxation.reason(state, line), ...dates })
    }
    if (reasons.length === 0) {
      reasons.push({
        rule: 'B5',
        ...dates,
        message: 'Several limits bind together: no single change that was tried would serve this on time.',
      })
    }
  }
  if (placement) state.apply(placement)
  return reasons
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

/** Index of the fleet that a line's containers belong to at a site. */
export function fleetOf(state: State, line: LineModel, site: number): number {
  return fleetIndex(state.model, site, state.model.packs[line.pack].type)
}
