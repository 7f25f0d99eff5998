// Brews into other vessels, their fills as they are: two change places, or one goes where there is room. So free days
// that lie scattered over several vessels come together, and a brew of another beer finds room in them.
import { type Batch, earliestEnd, economics, type Occupant, size } from './batch.ts'
import { makeBrew } from './brews.ts'
import type { Journal } from './journal.ts'
import { below, type Random } from './random.ts'
import type { Placement, State } from './state.ts'
import { fits } from './vessels.ts'

/** Most brews that make room for the one that comes. */
const MOST_IN_THE_WAY = 2

/** A brew that is to stand in another vessel, on the same days. */
interface Move {
  stay: Occupant
  vessel: number
}

/**
 * Puts some planned brew into another vessel of its site and those that stand in its way into its own. Answers false
 * where that cannot be (V1–V3): the journal then holds what the caller must undo.
 */
export function revessel(state: State, random: Random, journal: Journal): boolean {
  const { model } = state
  const planned = state.batches.flat().filter((batch) => mayMove(state, batch))
  if (planned.length === 0) return false
  const batch = planned[below(random, planned.length)]
  const { allowed } = model.beers[batch.beer]
  const others = model.sites[batch.site].fermenters.filter((each) => each !== batch.fermenter && allowed[each])
  const stay = batch.fermenterStay
  if (others.length === 0 || !stay) return false
  const vessel = others[below(random, others.length)]
  const { turnaround } = model.vessels[vessel]
  const inTheWay = state.stays[vessel].filter(
    (each) => each.start <= earliestEnd(stay) + turnaround && earliestEnd(each) + turnaround >= stay.start,
  )
  const mayCome = (each: Occupant) =>
    mayMove(state, each.batch) && model.beers[each.batch.beer].allowed[batch.fermenter]
  if (inTheWay.length > MOST_IN_THE_WAY || !inTheWay.every(mayCome)) return false
  return change(
    state,
    [{ stay, vessel }, ...inTheWay.map((each) => ({ stay: each, vessel: batch.fermenter }))],
    journal,
  )
}

/** A planned brew that nothing holds where it is: no fixed decision, and no stock filled from it. */
function mayMove(state: State, batch: Batch): boolean {
  if (batch.standing >= 0 || batch.fixed || batch.transferFixed || batch.users.size === 0) return false
  for (const surplus of state.surpluses) if (surplus.batch === batch) return false
  return true
}

/** Lifts everything drawn from the brews and places it again as it was, but for the vessels that they are brewed into. */
function change(state: State, moves: Move[], journal: Journal): boolean {
  const { model } = state
  const days = moves.map(({ stay, vessel }) => ({ batch: stay.batch, vessel, end: earliestEnd(stay) }))
  const users = new Set<Placement>()
  for (const { batch } of days) for (const user of batch.users) users.add(user)
  for (const user of users) journal.lift(user)
  const into = new Map<Batch, Batch>()
  for (const { batch, vessel, end } of days) {
    if (!fits(model, state.stays[vessel], vessel, batch.brewOn, end)) return false
    into.set(batch, makeBrew(state, batch.beer, vessel, batch.brewOn))
  }
  for (const user of users) {
    const deliveries = user.deliveries.map((delivery) => ({
      ...delivery,
      runs: delivery.runs.map((take) => ({ ...take, batch: into.get(take.batch) ?? take.batch })),
    }))
    journal.place({ ...user, deliveries })
  }
  return [...into.values()].every((batch) => holdsItsBeer(state, batch))
}

/** Does the brew fit its new vessel, and the brewhouse its brews of that day (V2, V6)? */
function holdsItsBeer(state: State, batch: Batch): boolean {
  const { model } = state
  size(model, batch, batch.fromFermenter, batch.fromBright, batch.brightStay ? batch.bright : -1)
  return economics.feasible && state.brewsUsed[batch.site][batch.brewOn] <= model.sites[batch.site].brewsPerDay
}
