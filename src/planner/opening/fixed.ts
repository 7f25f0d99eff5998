// Decisions that may not change (F1): frozen days and fixed decisions of the baseline, loaded before anything else.
// Fleets and stores are not looked at here: containers that leave again are only known to leave once the deliveries are
// placed (load-baseline.ts).
import { dayNumber } from '../calendar/days.ts'
import { brewsOf } from '../documents/brews.ts'
import type { Plan } from '../documents/problem.ts'
import type { Reason } from '../documents/reason.ts'
import { mayBrew, transferable } from '../insertion/days.ts'
import type { Surplus } from '../model/batch.ts'
import { makeBatch } from '../model/make-batch.ts'
import type { State } from '../model/state.ts'
import type { UndoLog } from '../model/undo-log.ts'
import { LITRE, SLACK, units } from '../model/units.ts'
import { fits } from '../model/vessels.ts'
import { holdBrew, holdRun, holdTransfer } from './fixed-steps.ts'
import { PlanReader } from './plan-reader.ts'
import { currentBrews } from './standing.ts'
import { WhyNot } from './why-not.ts'

/** A baseline decision that could not stay as it is (F1), and why. */
export interface Moved {
  kind: 'BREW' | 'TRANSFER' | 'FILL_RUN'
  id: string
  reasons: Reason[]
}

export interface FixedDecisions {
  moved: Moved[]
  /** The runs that stay, as stock that deliveries may take from; by run of the baseline. */
  runs: Map<Surplus, string>
}

/** Containers lent to every fleet while fixed runs are loaded: some of theirs come back from deliveries that are not loaded yet. */
const LENT = 1e9

/** Loads the baseline's frozen and fixed decisions (F1), as many as can be; answers which stay and which cannot. */
export function loadFixed(log: UndoLog, baseline: Plan): FixedDecisions {
  const { state } = log
  const { model } = state
  const reader = new PlanReader(state, baseline)
  const whyNot = new WhyNot(state, reader)
  const held: FixedDecisions = { moved: [], runs: new Map() }
  const stays = (on: string, fixed: boolean | undefined) => {
    const day = dayNumber(on) - model.today
    return day >= 0 && (fixed === true || day < model.frozenUntil)
  }
  for (const brew of currentBrews(model, baseline)) {
    if (!stays(brew.brewOn, brew.fixed) || loadFixedBrew(log, reader, brew)) continue
    held.moved.push({
      kind: 'BREW',
      id: brew.id,
      reasons: [whyNot.brew(brew, reader.batches.get(brew.id), units(brew.litres))],
    })
  }
  // Small runs first, and whole ones before parts: so the most of them stay as they are.
  const runs = baseline.fillRuns.filter((run) => stays(run.on, run.fixed)).sort((a, b) => a.quantity - b.quantity)
  lend(state, LENT)
  const short = runs.filter((run) => !loadFixedRun(log, reader, run, held, run.quantity))
  for (const run of short) {
    held.moved.push({ kind: 'FILL_RUN', id: run.id, reasons: [whyNot.run(run)] })
    loadFixedRun(log, reader, run, held, 1)
  }
  lend(state, -LENT)
  for (const transfer of baseline.transfers) {
    if (!stays(transfer.on, transfer.fixed) || loadFixedTransfer(log, reader, transfer)) continue
    held.moved.push({ kind: 'TRANSFER', id: transfer.id, reasons: [whyNot.transfer(transfer)] })
  }
  return held
}

function lend(state: State, containers: number): void {
  for (const clean of state.clean) if (clean) for (let day = 0; day < clean.length; day++) clean[day] += containers
}

/** V1–V3: loads a brew exactly as it is; false where it cannot be. One that stands by now is no longer a brew. */
function loadFixedBrew(log: UndoLog, reader: PlanReader, brew: Plan['brews'][number]): boolean {
  const { state } = log
  const { model } = state
  const batch = reader.batches.get(brew.id)
  if (!batch) return false
  if (batch.standing >= 0) return true
  const { beer, site, fermenter, brewOn, ready, fermenterDeadline, baseline } = batch
  const held = makeBatch(state, {
    ...{ beer, site, fermenter, brewOn, ready, fermenterDeadline, baseline },
    given: units(brew.litres),
  })
  const vessel = model.vessels[fermenter]
  if (held.given < vessel.minFill - SLACK || held.given > vessel.capacity + SLACK) return false
  const brews = brewsOf(held.given / LITRE, model.sites[site].brewLitres)
  if (!mayBrew(state, site, Math.max(0, brewOn), brews)) return false
  if (!reader.brewable(held)) return false
  reader.batches.set(brew.id, held)
  holdBrew(log, held, true)
  return true
}

/** Adds a run, or the part of it that is possible if that is at least `least` containers; false where neither is possible. */
function loadFixedRun(
  log: UndoLog,
  reader: PlanReader,
  run: Plan['fillRuns'][number],
  held: FixedDecisions,
  least: number,
): boolean {
  const take = reader.take(run, run.quantity)
  if (!take || take.quantity < least) return false
  const surplus: Surplus = { ...take }
  log.stock(surplus)
  held.runs.set(surplus, run.id)
  holdRun(log, take, true)
  return true
}

/** V3–V6: makes a transfer exactly as it is; false where it cannot be. */
function loadFixedTransfer(log: UndoLog, reader: PlanReader, each: Plan['transfers'][number]): boolean {
  const { state } = log
  const { model } = state
  const batch = reader.batches.get(each.batchId)
  const transfer = reader.transfers.get(each.batchId)
  const given = units(each.litres)
  if (!batch || !transfer || batch.fermenter < 0) return false
  if (batch.standing >= 0 && batch.given - batch.fromFermenter < given - SLACK) return false
  const bound = batch.transferOn === transfer.on && batch.bright === transfer.bright
  const { on, bright } = transfer
  if (!bound && !(transferable(state, batch, transfer) && fits(model, state.stays[bright], bright, on, on + 1)))
    return false
  holdTransfer(log, batch, transfer, given)
  return true
}
