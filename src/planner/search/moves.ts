// The moves of the improvement: take related lines out and place them again, or take out what stands in the way of a brew.
// Each works through an undo log; the caller judges whether it was worth it.

import { type InsertionPolicy, insertionPolicy } from '../insertion/policy.ts'
import { isUnallocated } from '../insertion/surplus.ts'
import type { Surplus } from '../model/batch.ts'
import { type LineModel, TERM } from '../model/model.ts'
import { below, type Random } from '../model/random.ts'
import type { State } from '../model/state.ts'
import type { UndoLog } from '../model/undo-log.ts'
import { arrange, placeAll } from './recreate.ts'
import { unsatisfiedLine } from './ruins/by-unsatisfied.ts'
import type { Ruin } from './ruins/ruin.ts'
import { RUINS } from './ruins/ruins.ts'
import { targetedRemoval } from './targeted-removal.ts'

/**
 * Lines that a ruin lifts at most: a share of all, within limits. Of a dozen lines less than this leaves beers in each other's place, more
 * is seldom put back as well.
 */
const LIFTED = { least: 3, share: 0.6, most: 12 } as const
/** How often what stands in the way of a brew is taken out. */
const TARGETED = 0.1
/** How often lines that can be served in part only have their turn like any other, instead of after all that can be served whole. */
const IN_TURN = 0.5
/**
 * How often new brews begin as soon as their vessel is free, instead of as late as their fill allows, with up to so many lines and with more. The
 * price for days in vessels brings the same about: few lines are planned better with less of it, of many it was seen to make no difference.
 */
const START_WHEN_FREE = { few: 0.2, upTo: 30, many: 0.4 } as const
/** Quantities are tried where so few lines are placed: among many, what is not taken here is wanted elsewhere at once. */
const FEW = 5
/** How often sources may then give a part of what they could: what fits best may be less than all that is missing. */
const IN_PARTS = 0.35
/** So many lines are few: each is placed so often that it pays to try more ways. */
export const FEW_LINES = 100
/** How often, where lines are few, dispatch options are overlooked, and with what chance each at most: then lines leave on days that are a little dearer for them. */
const OVERLOOK = { often: 0.3, most: 0.6 } as const
/**
 * How often a draw is charged for the days by which its batch stays longer in a vessel, and a new brew for those that its vessel waits
 * for it, and how much a day, in brews: the logarithm is even between these.
 */
const VESSEL_DAY = { often: 0.8, least: 1, most: 55 } as const
/** How often transfers leave their fermenter early. */
const EARLY_TRANSFERS = 0.5
/** How often, where few lines are lifted, stock runs of their beers stay, each with an even chance: a few that are free are enough. */
const SOME_STOCK_STAYS = 0.5
/**
 * How often what is lifted has a line that is to be served within so many days of one that is late or short, and how often it is drawn for
 * that at most: most of a plan is good already.
 */
const NEAR_TROUBLE = { often: 0.8, days: 7, draws: 6 } as const

/** Changes something of the plan; answers false where there was nothing to change. Stock runs of `held` stay (F1). */
export function changeSome(log: UndoLog, random: Random, held: ReadonlySet<Surplus>): boolean {
  if (random() < TARGETED && removeTargetedAndRecreate(log, random, held)) return true
  return ruinAndRecreate(log, random, held)
}

function removeTargetedAndRecreate(log: UndoLog, random: Random, held: ReadonlySet<Surplus>): boolean {
  const { state } = log
  const removal = targetedRemoval(state, random)
  if (!removal) return false
  const { first, others } = removal
  takeOut(log, [...first, ...others], random, held)
  addUnserved(state, others, random, first)
  const policy = policyOf(state, random, first.length + others.length)
  placeAll(log, first, policy)
  placeAll(log, arrange(others, random), policy)
  return true
}

const TOTAL_WEIGHT = RUINS.reduce((sum, each) => sum + each.weight, 0)

/** Takes related lines out and places them again; answers false where there were none. */
function ruinAndRecreate(log: UndoLog, random: Random, held: ReadonlySet<Surplus>): boolean {
  const removed = linesToLift(log.state, random)
  if (removed.length === 0) return false
  takeOut(log, removed, random, held)
  addUnserved(log.state, removed, random)
  placeAll(log, arrange(removed, random), policyOf(log.state, random, removed.length))
  return true
}

/** Related lines to take out, most often some that are to be served about when an unsatisfied one is. */
export function linesToLift(state: State, random: Random): LineModel[] {
  const share = Math.ceil(state.model.lines.length * LIFTED.share)
  const most = Math.max(LIFTED.least, Math.min(LIFTED.most, share))
  const draw = () => drawRuin(random)(state, random, 1 + below(random, most))
  const trouble = random() < NEAR_TROUBLE.often ? unsatisfiedLine(state, random) : undefined
  const isNear = (line: LineModel) => !trouble || Math.abs(line.serveOn - trouble.serveOn) <= NEAR_TROUBLE.days
  let lines = draw()
  for (let draws = 1; draws < NEAR_TROUBLE.draws && !lines.some(isNear); draws++) lines = draw()
  return lines
}

/** One of the ruins, by their weights. */
function drawRuin(random: Random): Ruin {
  let ticket = random() * TOTAL_WEIGHT
  const chosen = RUINS.find((each) => {
    ticket -= each.weight
    return ticket < 0
  })
  return (chosen ?? RUINS[0]).ruin
}

/** Lifts lines and, so that their beer is free, the stock runs of the same beers at hand, or some of them. */
function takeOut(log: UndoLog, lines: LineModel[], random: Random, held: ReadonlySet<Surplus>): void {
  const { state } = log
  const beers = new Set<number>()
  for (const line of lines) {
    beers.add(line.beer)
    const placement = state.placements[line.index]
    if (placement) log.lift(placement)
  }
  const someStay = lines.length <= FEW && random() < SOME_STOCK_STAYS
  for (const surplus of [...state.surpluses]) {
    if (held.has(surplus) || !beers.has(surplus.batch.beer) || (someStay && random() < 0.5)) continue
    if (surplus.quantity === 0 || isUnallocated(state, surplus)) log.unstock(surplus)
  }
}

/** Adds a few lines that are not served now, those of the same beers first; none of `besides`. */
function addUnserved(state: State, removed: LineModel[], random: Random, besides: LineModel[] = []): void {
  const { lines } = state.model
  const chosen = new Set([...removed, ...besides])
  const beers = new Set(removed.map((line) => line.beer))
  const room = 3 + below(random, 5)
  const start = below(random, lines.length)
  let added = 0
  for (let step = 0; step < Math.min(lines.length, 400) && added < room; step++) {
    const at = (start + step) % lines.length
    if (state.placements[at]) continue
    const line = lines[at]
    if (chosen.has(line) || !(beers.has(line.beer) || random() < 0.1)) continue
    removed.push(line)
    chosen.add(line)
    added++
  }
}

/** What a day in a vessel is charged, in brews. */
function brewsADay(random: Random): number {
  return VESSEL_DAY.least * (VESSEL_DAY.most / VESSEL_DAY.least) ** random()
}

function policyOf({ model }: State, random: Random, placing: number): InsertionPolicy {
  const mood = random()
  const { few, upTo, many } = START_WHEN_FREE
  const overlooks = model.lines.length <= FEW_LINES && random() < OVERLOOK.often
  return insertionPolicy({
    random,
    optionBlinkRate: overlooks ? OVERLOOK.most * random() : undefined,
    blinkRate: random() < 0.3 ? 0 : 0.08 * random(),
    brewShare: mood < 0.35 ? 1 : mood < 0.6 ? 0.3 : 0,
    brewTries: 2 + below(random, 5),
    startWhenVesselFree: random() < (model.lines.length <= upTo ? few : many),
    inTurn: random() < IN_TURN,
    inParts: placing <= FEW && random() < IN_PARTS,
    vesselDayPrice: random() < VESSEL_DAY.often ? model.rates[TERM.brew] * brewsADay(random) : 0,
    earlyTransfers: random() < EARLY_TRANSFERS,
  })
}
