// Where containers are: clean, filled, on the road, at which account since when, dirty, washing, missing.
import {
  type AccountContainers,
  type FleetPlaces,
  fleetPlaces,
  MOST_ENTRIES,
  MOST_FLEETS,
} from '../../resolvers/floor/containers.ts'
import { builder } from '../builder.ts'
import { needs } from '../needs.ts'
import { rowType } from '../row-type.ts'
import { ThingRefInput } from '../thing-ref.ts'

const AccountContainersType = builder.objectRef<AccountContainers>('AccountContainers').implement({
  description:
    'The containers of one type and site that an account has. Those that came first are taken to leave first.',
  fields: (t) => ({
    account: t.field({
      type: rowType('Account'),
      nullable: true,
      description: 'The account.',
      resolve: ({ accountId }, _args, { rows }) => rows.account.load(accountId),
    }),
    quantity: t.exposeInt('quantity', { description: 'Whole containers, those that are missing too.' }),
    since: t.expose('since', {
      type: 'LocalDate',
      nullable: true,
      description: 'The day on which the oldest of them came. Absent: before the months that are looked at.',
    }),
    expectedOn: t.expose('expectedOn', {
      type: 'LocalDate',
      nullable: true,
      description:
        'The day by which 80 of 100 containers of this account are back, of the oldest that is not missing. Absent: nothing says.',
    }),
    overdue: t.exposeInt('overdue', {
      description: 'Those of them that should be back by now; plans count on them on the next route day.',
    }),
    missing: t.exposeInt('missing', {
      description: 'Those of them that have been overdue for more than 14 days; no plan counts on them.',
    }),
  }),
})

const ExpectedContainersType = builder.objectRef<FleetPlaces['expected'][number]>('ExpectedContainers').implement({
  description: 'Containers that plans count on to be back on a day, clean `washDays` later (C1).',
  fields: (t) => ({
    on: t.expose('on', { type: 'LocalDate', description: 'The day on which they are back.' }),
    quantity: t.exposeInt('quantity', { description: 'Whole containers.' }),
  }),
})

const FleetPlacesType = builder.objectRef<FleetPlaces>('FleetPlaces').implement({
  description: 'Where the containers of one type that belong to one site are; each is counted in exactly one place.',
  fields: (t) => ({
    site: t.field({
      type: rowType('Site'),
      nullable: true,
      description: 'The site that they belong to.',
      resolve: ({ siteId }, _args, { rows }) => rows.site.load(siteId),
    }),
    containerType: t.field({
      type: rowType('ContainerType'),
      nullable: true,
      description: 'The size of cask or keg.',
      resolve: ({ containerTypeId }, _args, { rows }) => rows.containerType.load(containerTypeId),
    }),
    clean: t.exposeInt('clean', { description: 'Clean and empty at the site.' }),
    filled: t.exposeInt('filled', { description: 'Filled, standing at the site.' }),
    onRoad: t.exposeInt('onRoad', { description: 'Dispatched and not yet delivered.' }),
    atAccounts: t.exposeInt('atAccounts', { description: 'At accounts, without those that are missing.' }),
    missing: t.exposeInt('missing', { description: 'At accounts, and overdue for more than 14 days.' }),
    washing: t.exposeInt('washing', {
      description: 'Came back so lately that their washing takes until tomorrow or longer (C1).',
    }),
    dirty: t.exposeInt('dirty', {
      description: 'Came back, and should have been washed by now: no fact says so. Plans take them as clean.',
    }),
    accounts: t.field({
      type: [AccountContainersType],
      description: `The accounts that have some; at most ${MOST_ENTRIES}.`,
      complexity: { field: 1, multiplier: 100 },
      resolve: ({ accounts }) => accounts,
    }),
    announced: t.exposeInt('announced', {
      description: 'Besides: those that the set-up lists as coming back and that have not come (`Fleet.returns`).',
    }),
    announcedMissing: t.exposeInt('announcedMissing', {
      description: 'Besides: those that the set-up listed and that are overdue for more than 14 days.',
    }),
    expected: t.field({
      type: [ExpectedContainersType],
      description: `What plans count on to come back, or came back and is being washed, in order of day; at most ${MOST_ENTRIES}.`,
      complexity: { field: 1, multiplier: 30 },
      resolve: ({ expected }) => expected,
    }),
  }),
})

builder.queryField('containers', (t) =>
  t.field({
    ...needs(
      'plan:read',
      `Where the containers are, by site and type: one entry for each fleet that is not retired, at most ${MOST_FLEETS}.`,
    ),
    type: [FleetPlacesType],
    nullable: true,
    args: {
      site: t.arg({ type: ThingRefInput, description: 'Only those that belong to this site. Absent: of all sites.' }),
      type: t.arg({ type: ThingRefInput, description: 'Only those of this container type. Absent: of all types.' }),
    },
    complexity: { field: 5, multiplier: 10 },
    resolve: async (_root, { site, type }, context) =>
      fleetPlaces(await context.askPlanner(), { site, containerType: type }),
  }),
)
