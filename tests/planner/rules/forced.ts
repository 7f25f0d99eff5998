// Decisions that can be forced into the state of a plan, for each question that a constraint may answer: what the answer is to
// one, and how it comes into the state and goes again. Only the question's own answer is asked for, by no other rule.

import type { Batch, Surplus, Transfer } from '../../../src/planner/model/batch.ts'
import { setupKey } from '../../../src/planner/model/batch.ts'
import type { BindingConstraints, Days, SearchConstraint } from '../../../src/planner/model/constraint.ts'
import { makeBrew } from '../../../src/planner/model/make-batch.ts'
import { below, type Random } from '../../../src/planner/model/random.ts'
import type { State } from '../../../src/planner/model/state.ts'
import { LITRE, MINUTE, SLACK } from '../../../src/planner/model/units.ts'

/** What a constraint answers to a decision; `CLOSE`: within a tolerance; `ELSEWHERE`: another rule takes away what it is about. */
export type Answer = 'REFUSES' | 'ADMITS' | 'CLOSE' | 'ELSEWHERE'

export interface Forced {
  what: string
  /** Asked before the decision is in the state, unless it says `after`. */
  answer: (constraint: SearchConstraint) => Answer
  /** Puts the decision into the state; answers how to take it out. */
  force: () => () => void
}

/** Questions that decide something; the others only count, which shows in the answers. */
export type Question = Exclude<keyof BindingConstraints, 'onSetup' | 'onTransfer'>

/** By question: one decision at random; undefined where none comes to mind. */
export const FORCED: Record<Question, (state: State, random: Random) => Forced | undefined> = {
  drawDays: (state, random) => {
    const draw = someDraw(state, random)
    return (
      draw && {
        what: `a draw of pack ${draw.pack} from batch ${draw.batch.serial} on day ${draw.day}`,
        answer: ({ rule, drawDays, transferDays }) => {
          if (rule !== 'V4' && !isThere(state, draw)) return 'ELSEWHERE'
          const transfer = transferOf(draw)
          // A transfer that comes with the draw is another decision.
          const days = { from: 0, to: state.model.horizon - 1 }
          if (transfer) transferDays?.(state, draw.batch, days)
          if (transfer && !isIn(days, transfer.on)) return 'ELSEWHERE'
          Object.assign(days, { from: 0, to: state.model.horizon - 1 })
          const { beers, packs } = state.model
          drawDays?.(state, draw.batch, beers[draw.batch.beer]!, packs[draw.pack]!, transfer, days)
          return judged(isIn(days, draw.day))
        },
        force: () => stock(state, draw),
      }
    )
  },
  transferDays: (state, random) => {
    const move = someMove(state, random)
    return (
      move && {
        what: `a transfer of batch ${move.batch.serial} on day ${move.transferOn}`,
        answer: ({ rule, transferDays }) => {
          // V4: what is drawn after the transfer stands where it is drawn no longer.
          if (rule !== 'V4' && move.transferOn < move.batch.lastFermenterDraw) return 'ELSEWHERE'
          const days = { from: 0, to: state.model.horizon - 1 }
          transferDays?.(state, move.batch, days)
          return judged(isIn(days, move.transferOn))
        },
        force: () => stock(state, move),
      }
    )
  },
  mayTransfer: (state, random) => {
    const move = someMove(state, random)
    return (
      move && {
        what: `one more transfer at site ${move.batch.site} on day ${move.transferOn}`,
        answer: ({ mayTransfer }) => {
          const started = state.transfersUsed[move.batch.site]![move.transferOn]!
          return judged(mayTransfer?.(state.model.sites[move.batch.site]!, move.transferOn, started) ?? true)
        },
        force: () => stock(state, move),
      }
    )
  },
  mayBrew: (state, random) => {
    const draw = someBrew(state, random)
    if (!draw) return undefined
    const { batch } = draw
    // How many brews it takes shows once it is in the plan.
    const takeOut = stock(state, draw)
    const { brews } = batch
    takeOut()
    return {
      what: `a batch of ${brews} brews at site ${batch.site} on day ${batch.brewOn}`,
      answer: ({ mayBrew }) => {
        const made = state.brewsUsed[batch.site]![batch.brewOn]!
        return judged(mayBrew?.(state.model.sites[batch.site]!, batch.brewOn, made, brews) ?? true)
      },
      force: () => stock(state, draw),
    }
  },
  brewUnits: (state, random) => {
    const draw = someDraw(state, random, (batch) => batch.standing < 0 && !batch.fixed)
    if (!draw || !isThere(state, draw)) return undefined
    const { model } = state
    const { batch } = draw
    const units = model.packs[draw.pack]!.draw
    if (units <= 0) return undefined
    const wanted = model.vessels[batch.fermenter]!.capacity * (0.3 + random())
    const grown = { ...draw, quantity: Math.max(1, Math.ceil((wanted - batch.brewed) / units)) }
    const takeOut = stock(state, grown)
    const { brewed } = batch
    takeOut()
    return {
      what: `a brew ${batch.serial} of ${brewed / LITRE} litres`,
      answer: ({ brewUnits }) => {
        const volume = { most: Number.POSITIVE_INFINITY }
        const made = state.brewsUsed[batch.site]![batch.brewOn]!
        brewUnits?.(batch, model.sites[batch.site]!, model.vessels[batch.fermenter]!, made, volume)
        return Math.abs(brewed - volume.most) <= 2 * SLACK ? 'CLOSE' : judged(brewed <= volume.most)
      },
      force: () => stock(state, grown),
    }
  },
  extraMinutes: (state, random) => {
    const { model } = state
    const draw = someDraw(state, random)
    if (!draw) return undefined
    const { batch, filler, day } = draw
    const { kind, type } = model.packs[draw.pack]!
    const { each, minutes, setupMinutes } = model.fillers[filler]!
    if (batch.setupAt.has(setupKey(model, filler, day, kind))) return undefined
    const spare = minutes[day]! - state.minutesUsed[filler]![day]! - setupMinutes[batch.beer]! - each[type]!
    return {
      what: `a first draw of batch ${batch.serial} by filler ${filler} on day ${day}`,
      answer: ({ extraMinutes }) => {
        // L1: the run and its set-up alone are too much.
        if (spare < MINUTE / 100) return 'ELSEWHERE'
        const left = spare - (extraMinutes?.(state, batch.beer, filler, day) ?? 0)
        return Math.abs(left) < MINUTE / 100 ? 'CLOSE' : judged(left > 0)
      },
      force: () => stock(state, draw),
    }
  },
}

function isIn({ from, to }: Days, day: number): boolean {
  return day >= from && day <= to
}

function judged(admits: boolean): Answer {
  return admits ? 'ADMITS' : 'REFUSES'
}

function stock(state: State, surplus: Surplus): () => void {
  state.applySurplus(surplus, 1)
  return () => state.applySurplus(surplus, -1)
}

function transferOf({ batch, transferOn, bright }: Surplus): Transfer | undefined {
  return bright >= 0 && batch.transferOn < 0 && batch.fermenter >= 0 ? { on: transferOn, bright } : undefined
}

/** Whether the batch is, on the day, where the pack is drawn from (V4). */
function isThere(state: State, { batch, pack, day, transferOn }: Surplus): boolean {
  const { bright } = state.model.packs[pack]!
  if (!bright) return batch.fermenter >= 0 && (batch.transferOn < 0 || day <= batch.transferOn)
  return (batch.fermenter < 0 || transferOn >= 0) && day >= transferOn + state.model.beers[batch.beer]!.brightDays
}

function pick<Item>(random: Random, list: readonly Item[]): Item | undefined {
  return list[below(random, list.length)]
}

/** A random fill day at the batch's site, often near one of `turns`: days on which something about the batch begins or ends. */
function someFillDay({ model }: State, random: Random, { site }: Batch, turns: readonly number[]): number | undefined {
  const { fillDays } = model.sites[site]!
  const near = (pick(random, turns) ?? 0) + below(random, 3) - 1
  return random() < 0.6 && fillDays.includes(near) ? near : pick(random, fillDays)
}

/** Days on which a batch may first or last be moved. */
function movingTurns({ ready, fermenterDeadline, lastFermenterDraw }: Batch): number[] {
  return [ready, fermenterDeadline, lastFermenterDraw, lastFermenterDraw]
}

/** A container filled to stock from a batch of the plan, on any fill day, after a transfer where one is still to be made. */
function someDraw(state: State, random: Random, which: (batch: Batch) => boolean = () => true): Surplus | undefined {
  const { model } = state
  const batch = pick(random, state.batches.flat().filter(which))
  const pack = batch && pick(random, model.beers[batch.beer]!.packs)
  if (!batch || pack === undefined) return undefined
  const { bright, type } = model.packs[pack]!
  const { fillers, brights } = model.sites[batch.site]!
  const able = fillers.filter((filler) => Number.isFinite(model.fillers[filler]!.each[type]))
  const filler = pick(random, able)
  const { ready, fermenterDeadline, firstFermenterDraw, lastBrightDraw } = batch
  const opened = firstFermenterDraw + model.beers[batch.beer]!.maxOpenDays
  const turns = [ready, fermenterDeadline, batch.transferOn, opened, lastBrightDraw]
  const day = someFillDay(state, random, batch, turns)
  if (filler === undefined || day === undefined) return undefined
  const draw = { batch, filler, day, pack, quantity: 1, transferOn: -1, bright: -1 }
  if (!bright) return draw
  if (batch.fermenter < 0 || batch.transferOn >= 0)
    return { ...draw, transferOn: batch.transferOn, bright: batch.bright }
  const vessel = pick(random, brights)
  const on = someFillDay(state, random, batch, movingTurns(batch))
  return vessel === undefined || on === undefined ? draw : { ...draw, transferOn: on, bright: vessel }
}

/** A transfer of a batch that stands in its fermenter and is not moved yet, with nothing drawn after it. */
function someMove(state: State, random: Random): Surplus | undefined {
  const { model } = state
  const inFermenter = (each: Batch) => each.fermenter >= 0 && each.transferOn < 0 && each.left > LITRE
  const batch = pick(random, state.batches.flat().filter(inFermenter))
  const { brightDays = 0, maxBrightDays = 0 } = batch ? model.beers[batch.beer]! : {}
  const bright = batch && pick(random, model.sites[batch.site]!.brights)
  const transferOn = batch && someFillDay(state, random, batch, movingTurns(batch))
  // V5: beer that may not stand in a bright vessel for a night is in breach there, whenever it comes.
  if (!batch || bright === undefined || transferOn === undefined || brightDays + maxBrightDays < 1) return undefined
  return { batch, filler: -1, day: -1, pack: -1, quantity: 0, transferOn, bright }
}

/** A container filled to stock from a new brew, on any brew day and in any fermenter. */
function someBrew(state: State, random: Random): Surplus | undefined {
  const { model } = state
  const site = below(random, model.sites.length)
  const { fermenters, fillers, fillDays, brewOn } = model.sites[site]!
  const day = pick(
    random,
    [...brewOn.keys()].filter((each) => brewOn[each]),
  )
  const vessel = pick(random, fermenters)
  const pack = pick(
    random,
    [...model.packs.keys()].filter((each) => !model.packs[each]!.bright),
  )
  if (day === undefined || vessel === undefined || pack === undefined) return undefined
  const { type, beer } = model.packs[pack]!
  const filler = fillers.find((each) => Number.isFinite(model.fillers[each]!.each[type]))
  const last = fillDays.at(-1)
  if (filler === undefined || last === undefined || last < day) return undefined
  const batch = makeBrew(state, beer, vessel, day)
  return { batch, filler, day: last, pack, quantity: 1, transferOn: -1, bright: -1 }
}
