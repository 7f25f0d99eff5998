// Whatever a test does to a plan in force is looked at as a whole.
import { beforeAll } from 'vitest'
import { auditProposals } from './audit.ts'

beforeAll(auditProposals)
