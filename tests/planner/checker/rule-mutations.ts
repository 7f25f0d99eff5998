// For each rule number of the planning rules: at least one change that breaks it in the base problem's plan, and which
// other rules the same change cannot but break.
import { DELIVERIES } from './mutations/deliveries.ts'
import { FILLS } from './mutations/fills.ts'
import type { Mutation } from './mutations/mutation.ts'
import { TIMES } from './mutations/times.ts'
import { VESSELS } from './mutations/vessels.ts'

export const MUTATIONS: readonly Mutation[] = [...TIMES, ...VESSELS, ...FILLS, ...DELIVERIES]
