// How full a plan makes everything: the days of fillers, fleets, stores and routes.
import type { CleanContainers, FillerLoad, RouteLoad, StoreLoad } from '../../resolvers/plans/loads.ts'
import { builder } from '../builder.ts'
import { rowType } from '../row-type.ts'
import { Climate } from '../words.ts'

/** Most entries of a list that goes by days. */
export const MOST_ENTRIES = 5000

const DAY = 'The day.'

export const FillerLoadType = builder.objectRef<FillerLoad>('FillerLoad').implement({
  description: 'The work of a filler on a day (L1).',
  fields: (t) => ({
    filler: t.field({
      type: rowType('Filler'),
      nullable: true,
      description: 'The filler.',
      resolve: ({ fillerId }, _args, { rows }) => rows.filler.load(fillerId),
    }),
    day: t.expose('day', { type: 'LocalDate', description: DAY }),
    minutesUsed: t.exposeFloat('minutesUsed', { description: 'Minutes of fills and set-ups.' }),
    minutesAvailable: t.exposeFloat('minutesAvailable', { description: 'Minutes that it works that day.' }),
  }),
})

export const CleanContainersType = builder.objectRef<CleanContainers>('CleanContainers').implement({
  description: 'The containers of a fleet on a day (C1).',
  fields: (t) => ({
    site: t.field({
      type: rowType('Site'),
      nullable: true,
      description: 'The site.',
      resolve: ({ siteId }, _args, { rows }) => rows.site.load(siteId),
    }),
    containerType: t.field({
      type: rowType('ContainerType'),
      nullable: true,
      description: 'The container type.',
      resolve: ({ containerTypeId }, _args, { rows }) => rows.containerType.load(containerTypeId),
    }),
    day: t.expose('day', { type: 'LocalDate', description: DAY }),
    clean: t.exposeInt('clean', { description: 'Clean and empty before the fills of the day.' }),
    filled: t.exposeInt('filled', { description: 'Filled on the day.' }),
  }),
})

export const StoreLoadType = builder.objectRef<StoreLoad>('StoreLoad').implement({
  description: 'What stands in a store on a day (S1).',
  fields: (t) => ({
    site: t.field({
      type: rowType('Site'),
      nullable: true,
      description: 'The site.',
      resolve: ({ siteId }, _args, { rows }) => rows.site.load(siteId),
    }),
    climate: t.expose('climate', { type: Climate, description: 'Cold or warm.' }),
    day: t.expose('day', { type: 'LocalDate', description: DAY }),
    litres: t.exposeFloat('litres', { description: 'Nominal litres that stand in it.' }),
    capacityLitres: t.exposeFloat('capacityLitres', { description: 'Nominal litres that fit.' }),
  }),
})

export const RouteLoadType = builder.objectRef<RouteLoad>('RouteLoad').implement({
  description: 'What a route takes on a day (D1).',
  fields: (t) => ({
    route: t.field({
      type: rowType('Route'),
      nullable: true,
      description: 'The route.',
      resolve: ({ routeId }, _args, { rows }) => rows.route.load(routeId),
    }),
    day: t.expose('day', { type: 'LocalDate', description: DAY }),
    containers: t.exposeInt('containers', { description: 'Whole containers.' }),
    litres: t.exposeFloat('litres', { description: 'Nominal litres.' }),
    capacityLitres: t.exposeFloat('capacityLitres', {
      nullable: true,
      description: 'Nominal litres that it carries. Absent: no limit.',
    }),
  }),
})
