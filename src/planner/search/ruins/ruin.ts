// What a ruin is: a destroy operator of the search.
import type { LineModel } from '../../model/model.ts'
import type { Random } from '../../model/random.ts'
import type { State } from '../../model/state.ts'

/** One way of choosing lines to remove and place again; at most `most`, placed or not. */
export type Ruin = (state: State, random: Random, most: number) => LineModel[]
