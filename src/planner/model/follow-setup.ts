// The compiled problem, changed in place to what facts have made of it: its set-up is the same, with other stock, other fleets, and
// less left of the days that have begun. The lines stay as they are compiled.
import { bindingConstraints, type SearchConstraint } from './constraint.ts'
import { element } from './element.ts'
import { type LotModel, limitsTransfers, type Model } from './model.ts'
import type { State } from './state.ts'
import type { UndoLog } from './undo-log.ts'

/**
 * Lets the model of a state be that of `fresh`, which was compiled without lines. No line may take from a lot that is other than it was, or
 * be of an account whose containers come back after other days than before, and no batch that has changed may stand. False, and
 * nothing is changed, where what the state counts would have to be counted anew.
 */
export function followSetup(log: UndoLog, fresh: Model, constraints: readonly SearchConstraint[]): boolean {
  const { state } = log
  const { model } = state
  if (model.sites.some(limitsTransfers) !== fresh.sites.some(limitsTransfers)) return false
  if (model.fleets.some((fleet, index) => (fleet === undefined) !== (fresh.fleets[index] === undefined))) return false
  for (const part of ['sites', 'vessels', 'fillers', 'routes', 'accounts', 'problem'] as const)
    log.swap<Model, typeof part>(model, part, fresh[part])
  followLots(log, fresh)
  followFleets(log, fresh)
  log.swap(state, 'constraints', bindingConstraints(model, constraints))
  return true
}

/** Lots keep their indexes; one that is gone has no containers. */
function followLots(log: UndoLog, fresh: Model): void {
  const { state } = log
  const { model } = state
  const lots = [...model.lots]
  const indexes = new Map<string, number>()
  const changed: { was: LotModel | undefined; is: LotModel | undefined; at: number }[] = []
  for (const lot of fresh.lots) {
    const known = model.indexOf.lot.get(lot.id)
    const at = known ?? lots.length
    indexes.set(lot.id, at)
    const was = known === undefined ? undefined : element(model.lots, known)
    if (was && isSame(was, lot)) continue
    lots[at] = lot
    changed.push({ was, is: lot, at })
  }
  for (const [id, at] of model.indexOf.lot) {
    const was = element(model.lots, at)
    if (indexes.has(id)) continue
    lots[at] = { ...was, quantity: 0 }
    changed.push({ was, is: undefined, at })
  }
  const left = new Int32Array(lots.length)
  left.set(state.lotLeft)
  for (const { at } of changed) left[at] = element(lots, at).quantity
  const byPack = fresh.lotsByPack.map((list) => list.map((at) => indexes.get(element(fresh.lots, at).id) ?? -1))
  log.also(
    () => countLots(state, changed),
    () =>
      countLots(
        state,
        changed.map(({ was, is }) => ({ was: is, is: was })),
      ),
  )
  log.swap(model, 'lots', lots)
  log.swap(model, 'lotsByPack', byPack)
  log.swap(model.indexOf, 'lot', indexes)
  log.swap(state, 'lotLeft', left)
}

function countLots(state: State, changed: readonly { was: LotModel | undefined; is: LotModel | undefined }[]): void {
  for (const { was, is } of changed) {
    if (was) state.countLot(was, -1)
    if (is) state.countLot(is, 1)
  }
}

function isSame(a: LotModel, b: LotModel): boolean {
  return (Object.keys(a) as (keyof LotModel)[]).every((key) => a[key] === b[key])
}

/** What lines fill, deliver and bring back stays counted in what is clean. */
function followFleets(log: UndoLog, fresh: Model): void {
  const { clean, model } = log.state
  const more = fresh.fleets.map((fleet, index) =>
    fleet?.clean.map((containers, day) => containers - (model.fleets[index]?.clean[day] ?? 0)),
  )
  const add = (sign: 1 | -1) => {
    for (const [index, days] of clean.entries())
      days?.forEach((containers, day) => {
        days[day] = containers + sign * (more[index]?.[day] ?? 0)
      })
  }
  log.also(
    () => add(1),
    () => add(-1),
  )
  log.swap(model, 'fleets', fresh.fleets)
}
