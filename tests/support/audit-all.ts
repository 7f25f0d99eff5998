// Whatever a test does to a plan in force is looked at as a whole.
import { auditProposals } from '../../src/planner/live/live-plan.ts'
import { auditProposal } from './audit.ts'

auditProposals(auditProposal)
