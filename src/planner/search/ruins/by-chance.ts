// Lines that have nothing in common: what the other ruins never take out together.
import { sample } from './choosing.ts'
import type { Ruin } from './ruin.ts'

/** Any lines at all. */
export const byChance: Ruin = (state, random, most) => sample([...state.model.lines], random, Math.max(1, most >> 1))
