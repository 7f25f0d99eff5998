// What a plan decides, and what it says of lines and decisions, in pages.
import { builder } from '../builder.ts'
import { pages } from '../pages.ts'
import { between, spanArgs } from './span.ts'

/** Where decisions of a plan are found in pages. */
const cursor = 'distributorId_planId_id'
const byDay = [{ on: 'asc' as const }, { id: 'asc' as const }]

builder.prismaObjectFields('Plan', (t) => ({
  brews: t.relatedConnection(
    'brews',
    {
      description: 'What is brewed, in order of day.',
      cursor,
      totalCount: true,
      args: spanArgs,
      query: (args) => ({ where: { brewOn: between(args) }, orderBy: [{ brewOn: 'asc' }, { id: 'asc' }] }),
    },
    ...pages('PlannedBrew', 'planned brews', cursor),
  ),
  transfers: t.relatedConnection(
    'transfers',
    {
      description: 'What is transferred into bright vessels, in order of day.',
      cursor,
      totalCount: true,
      args: spanArgs,
      query: (args) => ({ where: { on: between(args) }, orderBy: byDay }),
    },
    ...pages('PlannedTransfer', 'planned transfers', cursor),
  ),
  fillRuns: t.relatedConnection(
    'fillRuns',
    {
      description: 'What is filled, in order of day.',
      cursor,
      totalCount: true,
      args: spanArgs,
      query: (args) => ({ where: { on: between(args) }, orderBy: byDay }),
    },
    ...pages('FillRun', 'fill runs', cursor),
  ),
  deliveries: t.relatedConnection(
    'deliveries',
    {
      description: 'What is delivered, in order of the day on which it leaves; `from` and `to` are such days.',
      cursor: 'distributorId_planId_n',
      totalCount: true,
      args: spanArgs,
      query: (args) => ({ where: { dispatchOn: between(args) }, orderBy: [{ dispatchOn: 'asc' }, { n: 'asc' }] }),
    },
    ...pages('Delivery', 'deliveries', 'distributorId_planId_n'),
  ),
  dumps: t.relatedConnection(
    'dumps',
    {
      description: 'Beer that is poured away, in order of day.',
      cursor: 'distributorId_planId_n',
      totalCount: true,
      args: spanArgs,
      query: (args) => ({ where: { on: between(args) }, orderBy: [{ on: 'asc' }, { n: 'asc' }] }),
    },
    ...pages('Dump', 'dumps', 'distributorId_planId_n'),
  ),
}))

builder.prismaObjectFields('Plan', (t) => ({
  unserved: t.relatedConnection(
    'verdicts',
    {
      description: 'Order lines that it does not wholly serve, with reasons (E1).',
      cursor: 'distributorId_planId_kind_orderLineId',
      totalCount: true,
      query: { where: { kind: 'UNSERVED' }, orderBy: { orderLineId: 'asc' } },
    },
    ...pages('Unserved', 'lines not wholly served', 'distributorId_planId_kind_orderLineId'),
  ),
  late: t.relatedConnection(
    'verdicts',
    {
      description: 'Order lines that it serves late, with reasons (E1).',
      cursor: 'distributorId_planId_kind_orderLineId',
      totalCount: true,
      query: { where: { kind: 'LATE' }, orderBy: { orderLineId: 'asc' } },
    },
    ...pages('Late', 'late lines', 'distributorId_planId_kind_orderLineId'),
  ),
  brokenPromises: t.relatedConnection(
    'verdicts',
    {
      description: 'Promised lines that it serves after their day or not wholly (F2).',
      cursor: 'distributorId_planId_kind_orderLineId',
      totalCount: true,
      query: { where: { kind: 'BROKEN_PROMISE' }, orderBy: { orderLineId: 'asc' } },
    },
    ...pages('BrokenPromise', 'broken promises', 'distributorId_planId_kind_orderLineId'),
  ),
  moved: t.relatedConnection(
    'moved',
    {
      description:
        'Decisions of the baseline that it drops or decides otherwise, with reasons: frozen and fixed ones that could not stay (F1), and all others.',
      cursor: 'distributorId_planId_kind_decisionId',
      totalCount: true,
      query: { orderBy: [{ kind: 'asc' }, { decisionId: 'asc' }] },
    },
    ...pages('PlanMove', 'changed decisions', 'distributorId_planId_kind_decisionId'),
  ),
}))
