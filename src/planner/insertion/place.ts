// The primitive that carries everything: place an order line at the least added cost in the plan as it stands.
import type { LineModel } from '../model/model.ts'
import type { State } from '../model/state.ts'
import { cheapestMultiSource } from './multi-source.ts'
import { type Found, fillWindows } from './option.ts'
import type { InsertionPolicy } from './policy.ts'
import { cheapestSingleSource } from './single-source.ts'
import type { LineSource } from './source.ts'
import { collectSources } from './sources.ts'

/** How often a search splits a line that one source could serve. */
const SPLIT = { usually: 0.05, inParts: 0.3 }

/**
 * The cheapest way found to serve a line, or undefined where there is none that pays (or, with `must`, none at all).
 * Looks only: the caller applies the placement.
 */
export function place(state: State, line: LineModel, policy: InsertionPolicy, must = false): Found | undefined {
  const { random } = policy
  const saved = line.unservedRate * line.quantity * state.model.packs[line.pack].nominal
  const limit = must ? Number.POSITIVE_INFINITY : saved
  const one = cheapestSingleSource(state, line, limit, policy)
  // One container cannot be split.
  const wantSplit =
    line.quantity > 1 && (!one || (random !== undefined && random() < (policy.inParts ? SPLIT.inParts : SPLIT.usually)))
  const several = wantSplit
    ? cheapestMultiSource(state, line, sourcesBySite(state, line, policy), one?.searchCost ?? limit, policy)
    : undefined
  const best = several ?? one
  return best && { placement: best.placement, searchCost: best.searchCost - saved }
}

/** Every source of the line by site, whatever each can give. */
function sourcesBySite(state: State, line: LineModel, policy: InsertionPolicy): Map<number, LineSource[]> {
  const sources = new Map<number, LineSource[]>()
  for (const [site, window] of fillWindows(state, line))
    sources.set(site, collectSources(state, line, line.quantity, site, window, policy))
  return sources
}
