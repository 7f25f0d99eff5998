// What a test does to a plan in force is looked at as a whole: each change in the long run, one of eight else, the same each time.
import { beforeAll } from 'vitest'
import { auditProposals } from './audit.ts'
import { LONG } from './sampled.ts'

beforeAll(() => auditProposals(LONG ? 1 : 8))
