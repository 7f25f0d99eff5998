// How a placement looks for sources: exactly and completely, or, in a search, with sources overlooked now and then.
import type { Random } from '../model/random.ts'

/** How a placement looks for sources. */
export interface InsertionPolicy {
  random: Random | undefined
  /** Chance of overlooking a source. */
  blinkRate: number
  /** Chance of overlooking a dispatch option; that of a source unless given. */
  optionBlinkRate: number | undefined
  /** 1: a line pays a new brew whole. Towards 0: only its share of it. */
  brewShare: number
  /** Keep new brews out of it. */
  noBrews: boolean
  /** New brews offered at most: so many for on-time fill days, up to three for later ones. */
  brewTries: number
  /** Only brews that begin as soon as their vessel is free. */
  startWhenVesselFree: boolean
  /** Lines that can be served in part only have their turn like any other. */
  inTurn: boolean
  /** Split lines more often, and let a source now and then give only a part of what it could. */
  inParts: boolean
  /** A line that can be served in part only is not served at all, also where it may be split. */
  allOrNothing: boolean
  /** What each day counts, beside its cost, by which a draw makes its batch stay longer in a vessel, or for which a new brew's vessel waits: where vessels are scarce, another brew could begin. */
  vesselDayPrice: number
  /** Transfers leave their fermenter as soon as nothing more is drawn from it, instead of as late as their fill allows. */
  earlyTransfers: boolean
}

/**
 * A policy: what is left out means exactly and completely. Every field is named, so that all policies share one shape: they are asked in
 * the planner's innermost loops.
 */
export function insertionPolicy({
  random,
  blinkRate = 0,
  optionBlinkRate,
  brewShare = 1,
  noBrews = false,
  brewTries = 6,
  startWhenVesselFree = false,
  inTurn = false,
  inParts = false,
  allOrNothing = false,
  vesselDayPrice = 0,
  earlyTransfers = false,
}: Partial<InsertionPolicy>): InsertionPolicy {
  return {
    random,
    blinkRate,
    optionBlinkRate,
    brewShare,
    noBrews,
    brewTries,
    startWhenVesselFree,
    inTurn,
    inParts,
    allOrNothing,
    vesselDayPrice,
    earlyTransfers,
  }
}

export const EXACT: InsertionPolicy = insertionPolicy({})

/** Now and then a source is overlooked. */
export function blinks(policy: InsertionPolicy): boolean {
  return policy.blinkRate > 0 && policy.random !== undefined && policy.random() < policy.blinkRate
}

/** Now and then a dispatch option is overlooked: the cheapest day of one line may be the only one of another. */
export function overlooksOption({ random, blinkRate, optionBlinkRate = blinkRate }: InsertionPolicy): boolean {
  return optionBlinkRate > 0 && random !== undefined && random() < optionBlinkRate
}
