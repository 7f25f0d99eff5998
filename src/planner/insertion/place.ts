// The primitive that carries everything: place an order line at the least added cost in the plan as it stands.
import type { LineModel } from '../model/model.ts'
import type { State } from '../model/state.ts'
import { splitOver } from './multi-source.ts'
import { type Found, fillWindows } from './option.ts'
import type { Taste } from './policy.ts'
import { cheapestSingle } from './single-source.ts'
import type { Source } from './source.ts'
import { collectSources } from './sources.ts'

/**
 * The cheapest way found to serve a line, or undefined where there is none that pays (or, with `must`, none at all).
 * Looks only: the caller applies the placement.
 */
export function place(state: State, line: LineModel, taste: Taste, must = false): Found | undefined {
  const { random } = taste
  const saved = line.unservedRate * line.quantity * state.model.packs[line.pack].nominal
  const limit = must ? Number.POSITIVE_INFINITY : saved
  const one = cheapestSingle(state, line, limit, taste)
  // One container cannot be split.
  const wantSplit = line.quantity > 1 && (!one || (random !== undefined && random() < 0.05))
  const several = wantSplit
    ? splitOver(state, line, sourcesBySite(state, line, taste), one?.weighed ?? limit, taste)
    : undefined
  const best = several ?? one
  return best && { placement: best.placement, weighed: best.weighed - saved }
}

/** Every source of the line by site, whatever each can give. */
function sourcesBySite(state: State, line: LineModel, taste: Taste): Map<number, Source[]> {
  const sources = new Map<number, Source[]>()
  for (const [site, window] of fillWindows(state, line))
    sources.set(site, collectSources(state, line, line.quantity, site, window, taste))
  return sources
}
