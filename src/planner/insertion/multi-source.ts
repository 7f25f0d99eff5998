// Serving one line from several sources: for a dispatch option, the cheapest sources by the container until there are
// enough. Works on the plan itself, container group by group, and takes everything back before it answers.
import type { Delivery } from '../model/batch.ts'
import { type LineModel, type Model, TERM } from '../model/model.ts'
import { firstFillFor, OPTION_SIZE } from '../model/options.ts'
import { below } from '../model/random.ts'
import type { State } from '../model/state.ts'
import { routeRoom } from '../model/stores-fleets.ts'
import { UndoLog } from '../model/undo-log.ts'
import { SLACK } from '../model/units.ts'
import { FreshLook, sameSource } from './fresh-look.ts'
import { emptyDelivery, type Found, optionCost, optionRoom, servesOption, standingCost, takeFrom } from './option.ts'
import { type InsertionPolicy, overlooksOption } from './policy.ts'
import { enoughBy, together } from './reach.ts'
import type { LineSource, Window } from './source.ts'
import { collectSources } from './sources.ts'

/** How much trying one split is worth: options filled to see what they cost, looks at options on which nothing is left, and sources chosen anew after each take. */
interface Care {
  options: number
  inVain: number
  sources: number
}

/** Where the answer is asked for, and inside the search, which asks again and again. */
const ASKED: Care = { options: 5, inVain: 12, sources: 6 }
const SEARCHING: Care = { options: 2, inVain: 4, sources: 2 }

/** How often the search ranks sources as if each were cheaper by chance, and by how much: the cheapest one by one are not always best together. */
const RANKING_NOISE = { often: 0.5, most: 0.5 }

/**
 * A placement of the line from several sources that costs less in the search than `bound`, or undefined. A splittable line may go
 * in two deliveries, and in part (A3); any other goes whole in one.
 */
export function cheapestMultiSource(
  state: State,
  line: LineModel,
  sources: Map<number, LineSource[]>,
  bound: number,
  policy: InsertionPolicy,
): Found | undefined {
  const { options } = line
  const care = policy.random ? SEARCHING : ASKED
  let best: Found | undefined
  let tries = 0
  let inVain = 0
  let limit = bound
  const firstDays = new Map<LineSource[], number>()
  if (!mayServeInPart(line, policy)) {
    const enough = [...sources.values()].filter((list) => together(state, line, list))
    if (enough.length === 0) return undefined
    if (!line.splittable) for (const list of enough) firstDays.set(list, enoughBy(state, line, list))
  }
  for (let at = 0; at < options.length && tries < care.options && inVain < care.inVain; at += OPTION_SIZE) {
    const late = optionCost(state, line, at, line.splittable ? 1 : line.quantity)
    if (late >= limit && line.lateRate > 0 && !line.splittable) break
    const list = sources.get(state.model.routes[options[at]].site)
    if (!list || (!line.splittable && (firstDays.get(list) ?? Number.POSITIVE_INFINITY) > options[at + 1])) continue
    if (isFull(state, line, at) || (policy.optionBlinkRate && overlooksOption(policy))) continue
    const { taken, found } = fillOption(state, line, list, at, policy, limit)
    if (taken === 0) inVain++
    else tries++
    if (found) {
      best = found
      limit = found.searchCost
    }
  }
  return best
}

/** May less than all of the line be served (A3)? */
function mayServeInPart(line: LineModel, policy: InsertionPolicy): boolean {
  return line.splittable && !policy.allOrNothing
}

/** What was taken for a line so far, and is in the plan until the log takes it back. */
interface Filling {
  missing: number
  /** How much less the search counts for what was taken than it costs: shares of new brews. */
  shares: number
  log: UndoLog
  deliveries: Delivery[]
  /** Sources that gave a part of what they could: they would give the rest at once. */
  spent: LineSource[]
  /** What is left of sources that were collected before something was taken; undefined: they were collected since. */
  look: FreshLook | undefined
}

/** Does the route of an option carry no more containers of the line that day (D1)? */
function isFull(state: State, line: LineModel, at: number): boolean {
  return routeRoom(state, line.options[at], line.options[at + 1]) + SLACK < state.model.packs[line.pack].nominal
}

/** The line served with an option, and where it may be split with a second one, if below `limit`; and how many containers could be taken. */
function fillOption(
  state: State,
  line: LineModel,
  list: LineSource[],
  at: number,
  policy: InsertionPolicy,
  limit: number,
): { taken: number; found: Found | undefined } {
  const before = state.cost
  const filling: Filling = {
    missing: line.quantity,
    shares: 0,
    log: new UndoLog(state),
    deliveries: [],
    spent: [],
    look: undefined,
  }
  let cost: number
  try {
    fill(state, line, list, at, policy, filling)
    if (filling.missing > 0 && filling.missing < line.quantity && line.splittable)
      fillSecond(state, line, list, at, policy, filling)
    cost = state.cost - before
  } finally {
    filling.log.undo()
  }
  const delivered = line.quantity - filling.missing
  const nothing = { taken: delivered, found: undefined }
  if (delivered === 0 || (filling.missing > 0 && !mayServeInPart(line, policy))) return nothing
  // The ledger counts what is served; the bound does not.
  const saved = line.unservedRate * state.model.packs[line.pack].nominal * line.quantity
  const searchCost = cost - filling.shares + saved
  if (searchCost >= limit) return nothing
  return { taken: delivered, found: { placement: { line, deliveries: filling.deliveries, delivered }, searchCost } }
}

/** Takes what is missing on the best later day on which anything is left. */
function fillSecond(
  state: State,
  line: LineModel,
  list: LineSource[],
  first: number,
  policy: InsertionPolicy,
  filling: Filling,
): void {
  const { missing } = filling
  filling.look = new FreshLook(state, line, missing, policy)
  let { inVain } = policy.random ? SEARCHING : ASKED
  for (const at of laterOptions(state, line, first)) {
    if (isFull(state, line, at)) continue
    fill(state, line, list, at, policy, filling)
    if (filling.missing < missing || --inVain === 0) return
  }
}

/** Takes what is missing for one delivery, the cheapest containers first; the first few sources are chosen one by one. */
function fill(
  state: State,
  line: LineModel,
  list: LineSource[],
  at: number,
  policy: InsertionPolicy,
  filling: Filling,
): void {
  const delivery = emptyDelivery(line, at)
  let ranked = rank(state, line, list, at, filling.missing, policy, filling.look)
  let taken = 0
  for (let next = 0; filling.missing > 0 && next < ranked.length; ) {
    const offered = ranked[next++]
    if (filling.spent.some((each) => sameSource(each, offered))) continue
    const most = Math.min(filling.missing, mostOf(state, line, offered, at, filling.look))
    if (most <= 0) continue
    // A new brew becomes a batch of this try alone.
    const source = { ...offered }
    const quantity = partOf(state, line, source, most, policy)
    const part = emptyDelivery(line, at)
    takeFrom(state, line, part, source, quantity)
    // A new brew is found again as the batch that it became.
    if (quantity < most) filling.spent.push({ ...source, brew: undefined })
    filling.log.place({ line, deliveries: [part], delivered: quantity })
    filling.shares += source.cost - source.searchCost
    filling.missing -= quantity
    delivery.runs.push(...part.runs)
    delivery.lots.push(...part.lots)
    taken++
    if (filling.missing > 0 && taken < (policy.random ? SEARCHING : ASKED).sources) {
      const { site } = state.model.routes[line.options[at]]
      const window = optionWindow(state.model, line, at)
      filling.look = undefined
      ranked = rank(
        state,
        line,
        collectSources(state, line, filling.missing, site, window, policy),
        at,
        filling.missing,
        policy,
        filling.look,
      )
      next = 0
    } else filling.look = new FreshLook(state, line, filling.missing, policy)
  }
  if (taken > 0) filling.deliveries.push(merged(delivery))
}

/** Most containers that a source gives with an option in the plan as it stands. */
function mostOf(state: State, line: LineModel, source: LineSource, at: number, look: FreshLook | undefined): number {
  if (source.lot >= 0) return Math.min(state.lotLeft[source.lot], optionRoom(state, line, source, at))
  const now = look ? look.again(source, at) : source
  return now ? optionRoom(state, line, now, at) : 0
}

/** How many of the containers that a source could give are taken from it: in a search in parts, half of the time a part of them. */
function partOf(state: State, line: LineModel, source: LineSource, most: number, policy: InsertionPolicy): number {
  if (!policy.random || !policy.inParts || most < 2 || policy.random() < 0.5) return most
  const free = thereAnyway(state, line, source)
  return free > 0 && free < most ? free : 1 + below(policy.random, most - 1)
}

/** Containers of beer that is there whether they are filled or not: the least that a new brew makes, or what a batch has left. */
function thereAnyway({ model }: State, line: LineModel, { batch, brew, surplus }: LineSource): number {
  if (surplus) return 0
  const brewed = brew ? model.vessels[brew.vessel].minFill * (1 - model.beers[line.beer].loss) : 0
  const beer = batch ? batch.left + batch.leftAtTransfer : brewed
  return Math.floor((beer + SLACK) / model.packs[line.pack].draw)
}

/** Sources of an option by what a container costs from them; in a search, now and then not quite. */
function rank(
  state: State,
  line: LineModel,
  list: LineSource[],
  at: number,
  quantity: number,
  policy: InsertionPolicy,
  look: FreshLook | undefined,
): LineSource[] {
  const { random } = policy
  const noisy = random && random() < RANKING_NOISE.often ? random : undefined
  const priced: { source: LineSource; each: number }[] = []
  for (const source of list) {
    if (source.amount <= 0 || look?.isEmpty(source) || !servesOption(state, line, source, at)) continue
    const amount = Math.min(source.amount, quantity)
    const each = source.searchCost / source.amount + standingCost(state, line, source, at, amount) / amount
    priced.push({ source, each: noisy ? each * (1 - RANKING_NOISE.most * noisy()) : each })
  }
  return priced.sort((a, b) => a.each - b.each).map(({ source }) => source)
}

/** Fill days that can serve the line with one option (B3, B4, F1). */
function optionWindow(model: Model, line: LineModel, at: number): Window {
  const to = line.options[at + 1] - model.packs[line.pack].conditioning
  return { from: Math.max(model.frozenUntil, firstFillFor(model, line, line.options[at + 2])), to, onTimeTo: to }
}

/** Dispatch options on later days, from the same site, the best first. */
function* laterOptions(state: State, line: LineModel, at: number): Generator<number> {
  const { routes } = state.model
  for (let other = 0; other < line.options.length; other += OPTION_SIZE) {
    if (other === at) continue
    const late = Math.max(0, line.options[other + 2] - line.dueOn)
    if (late * line.lateRate >= line.unservedRate + state.model.rates[TERM.unsold]) break
    // A1: the sources at hand are those of one site.
    if (routes[line.options[other]].site !== routes[line.options[at]].site) continue
    if (line.options[other + 1] > line.options[at + 1]) yield other
  }
}

/** Takes of the same run or lot, counted together. */
function merged(delivery: Delivery): Delivery {
  const runs: Delivery['runs'] = []
  for (const take of delivery.runs) {
    const same = runs.find((each) => each.batch === take.batch && each.filler === take.filler && each.day === take.day)
    if (same) {
      same.quantity += take.quantity
      same.fromSurplus += take.fromSurplus
    } else runs.push({ ...take })
  }
  const lots: Delivery['lots'] = []
  for (const take of delivery.lots) {
    const same = lots.find((each) => each.lot === take.lot)
    if (same) same.quantity += take.quantity
    else lots.push({ ...take })
  }
  return { ...delivery, runs, lots }
}
