// What if: the changes that a scenario can try out, and the mutation that begins a comparison.
import {
  compare,
  MOST_CHANGES,
  MOST_SCENARIO_SECONDS,
  MOST_SCENARIO_STEPS,
  MOST_SCENARIOS,
} from '../../resolvers/plans/compare.ts'
import { DEFAULT_SECONDS } from '../../resolvers/plans/effort.ts'
import { MOST_MORE_VESSELS, MOST_ROUTES } from '../../resolvers/plans/what-if-changes.ts'
import type { Written } from '../../resolvers/written.ts'
import { builder } from '../builder.ts'
import { WRITE_ERRORS } from '../errors.ts'
import { needs } from '../needs.ts'
import { revisionField, rowKey } from '../setup/setup.ts'
import { ThingRefInput } from '../thing-ref.ts'
import { effortInput } from './plan-effort.ts'
import { WithoutInput } from './plan-without.ts'

const WEEKDAYS = 'ISO weekdays (1 = Monday); at most 7. Absent: as it is.'
const FEWER = 'Fewer where it is below zero, down to nothing.'

const MoreVessels = builder.inputType('MoreVesselsInput', {
  description: 'More vessels like one that there is.',
  fields: (t) => ({
    like: t.field({ type: ThingRefInput, required: true, description: 'The vessel that they are like.' }),
    count: t.int({ description: `How many; 1 to ${MOST_MORE_VESSELS}, 1 where not given.` }),
    capacityLitres: t.float({
      description: 'What each holds, in litres; the least fill is in proportion (V2). Absent: as the one.',
    }),
    availableFrom: t.field({ type: 'LocalDate', description: 'The first day on which beer may enter. Absent: today.' }),
  }),
})

const VesselOut = builder.inputType('VesselOutInput', {
  description: 'A vessel that is out of service (V3).',
  fields: (t) => ({
    vessel: t.field({ type: ThingRefInput, required: true, description: 'The vessel.' }),
    from: t.field({ type: 'LocalDate', required: true, description: 'The first day.' }),
    to: t.field({ type: 'LocalDate', required: true, description: 'The last day.' }),
  }),
})

const AnotherFiller = builder.inputType('AnotherFillerInput', {
  description: 'One more filler like one that there is.',
  fields: (t) => ({
    like: t.field({ type: ThingRefInput, required: true, description: 'The filler that it is like.' }),
    minutesPerDay: t.float({ description: 'Minutes that it works a day (L1), up to 1440. Absent: as the one.' }),
  }),
})

const FillerMinutes = builder.inputType('FillerMinutesInput', {
  description: 'More minutes of a filler (L1).',
  fields: (t) => ({
    filler: t.field({ type: ThingRefInput, required: true, description: 'The filler.' }),
    minutes: t.float({ required: true, description: `How many more, up to 1440. ${FEWER}` }),
    on: t.field({ type: 'LocalDate', description: 'The day. Absent: every day on which it works.' }),
  }),
})

const Containers = builder.inputType('ContainersInput', {
  description: 'More clean containers of a fleet (C1).',
  fields: (t) => ({
    fleet: t.field({ type: ThingRefInput, required: true, description: 'The fleet.' }),
    quantity: t.int({ required: true, description: `How many more, up to 100,000. ${FEWER}` }),
    by: t.field({ type: 'LocalDate', description: 'The day from which they are clean. Absent: today.' }),
  }),
})

const StoreLitres = builder.inputType('StoreLitresInput', {
  description: 'More room in a store (S1).',
  fields: (t) => ({
    store: t.field({ type: ThingRefInput, required: true, description: 'The store.' }),
    litres: t.float({ required: true, description: `How many nominal litres more, up to 1,000,000. ${FEWER}` }),
  }),
})

const OtherRoute = builder.inputType('OtherRouteInput', {
  description: 'A route that runs otherwise; give at least one change.',
  fields: (t) => ({
    route: t.field({ type: ThingRefInput, required: true, description: 'The route.' }),
    weekdays: t.intList({ description: `On which days it leaves (T2): ${WEEKDAYS}` }),
    capacityLitres: t.float({ description: 'Nominal litres that it takes (D1). Absent: as it is.' }),
  }),
})

const OtherAccount = builder.inputType('OtherAccountInput', {
  description: 'An account that is served otherwise; give at least one change.',
  fields: (t) => ({
    account: t.field({ type: ThingRefInput, required: true, description: 'The account.' }),
    routes: t.field({
      type: [ThingRefInput],
      description: `The routes that serve it (B2); at most ${MOST_ROUTES}. Absent: as it is.`,
    }),
    receivesWeekdays: t.intList({ description: `On which days it receives (T2): ${WEEKDAYS}` }),
  }),
})

const OtherSite = builder.inputType('OtherSiteInput', {
  description: 'A site that works otherwise; give at least one change.',
  fields: (t) => ({
    site: t.field({ type: ThingRefInput, required: true, description: 'The site.' }),
    brewsPerDay: t.int({ description: 'Most brews a day (V1). Absent: as it is.' }),
    brewWeekdays: t.intList({ description: `On which days it brews (T2): ${WEEKDAYS}` }),
    fillWeekdays: t.intList({ description: `On which days it fills and transfers (T2): ${WEEKDAYS}` }),
  }),
})

const AskedLine = builder.inputType('AskedLineInput', {
  description: 'One more order line.',
  fields: (t) => ({
    account: t.field({ type: ThingRefInput, required: true, description: 'The account.' }),
    pack: t.field({ type: ThingRefInput, required: true, description: 'The pack.' }),
    quantity: t.int({ required: true, description: 'Whole containers.' }),
    serveOn: t.field({ type: 'LocalDate', required: true, description: 'The day on which it is to be served.' }),
    promised: t.boolean({ description: 'Whether that day is promised (F2). Absent: it is not.' }),
  }),
})

const ChangeInput = builder.inputType('WhatIfChange', {
  description: 'One change that a scenario tries out.',
  isOneOf: true,
  fields: (t) => ({
    without: t.field({ type: WithoutInput, description: 'Without a vessel, a filler or a day.' }),
    moreVessels: t.field({ type: MoreVessels, description: 'More vessels.' }),
    vesselOut: t.field({ type: VesselOut, description: 'A vessel out of service for some days.' }),
    anotherFiller: t.field({ type: AnotherFiller, description: 'One more filler.' }),
    fillerMinutes: t.field({ type: FillerMinutes, description: 'More filler minutes.' }),
    containers: t.field({ type: Containers, description: 'More containers.' }),
    storeLitres: t.field({ type: StoreLitres, description: 'More room in a store.' }),
    route: t.field({ type: OtherRoute, description: 'Other days or another capacity of a route.' }),
    account: t.field({ type: OtherAccount, description: 'Other routes or receiving days of an account.' }),
    site: t.field({ type: OtherSite, description: 'Other brews a day or working days of a site.' }),
    orderLine: t.field({ type: AskedLine, description: 'One more order line.' }),
  }),
})

const ScenarioInput = builder.inputType('ScenarioInput', {
  description: 'What is to be tried out together.',
  fields: (t) => ({
    name: t.string({ required: true, description: 'A name to know it by; 1 to 200 characters.' }),
    changes: t.field({
      type: [ChangeInput],
      required: true,
      description: `The changes, made one after the other; at least one and at most ${MOST_CHANGES}.`,
    }),
  }),
})

const CompareInput = builder.inputType('CompareInput', {
  description: 'Scenarios to be planned beside the records as they are.',
  fields: (t) => ({
    scenarios: t.field({
      type: [ScenarioInput],
      required: true,
      description: `The scenarios; at least one and at most ${MOST_SCENARIOS}.`,
    }),
    effort: t.field({
      type: effortInput('ScenarioEffortInput', 'each scenario', MOST_SCENARIO_SECONDS, MOST_SCENARIO_STEPS),
      description: `How long to search for each scenario; ${DEFAULT_SECONDS} seconds where not given.`,
    }),
    seed: t.int({ description: 'Seed of the searches, 0 or more; 1 where not given.' }),
  }),
})

const ComparePayload = builder.objectRef<Written>('ComparePayload').implement({
  description: 'A comparison that was begun.',
  fields: (t) => ({
    revision: revisionField(t),
    comparison: t.prismaField({
      type: 'Comparison',
      description: 'The comparison as it is now.',
      resolve: (query, { id }, _args, context) =>
        context.client.comparison.findUniqueOrThrow({ ...query, where: rowKey(context, id) }),
    }),
  }),
})

builder.mutationField('compare', (t) =>
  t.field({
    ...needs(
      'plan:write',
      'Begins to plan scenarios beside the records as they are and answers at once; ask for the comparison by its id until it is READY. The plan in force stays as it is.',
    ),
    type: ComparePayload,
    errors: WRITE_ERRORS,
    args: { input: t.arg({ type: CompareInput, required: true, description: 'The scenarios.' }) },
    resolve: (_root, { input }, { planning }) => compare(planning, input),
  }),
)
