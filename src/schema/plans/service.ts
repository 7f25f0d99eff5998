// How well a plan serves: the same words for a plan and for a scenario that is compared.
import type { Outcome } from '../../resolvers/plans/scenarios.ts'
import { builder } from '../builder.ts'

export const ServiceType = builder.objectRef<Outcome['service']>('Service').implement({
  description: 'How well a plan serves. Litres are nominal ones of containers.',
  fields: (t) => ({
    litresWanted: t.exposeFloat('litresWanted', { description: 'Litres of all order lines.' }),
    litresOnTime: t.exposeFloat('litresOnTime', {
      description: 'Litres served on the wanted day or, of promised lines, on the promised day or before.',
    }),
    onTimeShare: t.float({
      description: 'Share of the litres of all order lines that is on time, 0 to 1; 1 where nothing is ordered.',
      resolve: ({ litresOnTime, litresWanted }) => (litresWanted === 0 ? 1 : litresOnTime / litresWanted),
    }),
    litresLate: t.exposeFloat('litresLate', { description: 'Litres served after that day.' }),
    litresUnserved: t.exposeFloat('litresUnserved', { description: 'Litres not served.' }),
    lines: t.exposeInt('lines', { description: 'Order lines.' }),
    linesOnTime: t.exposeInt('linesOnTime', { description: 'Order lines that are wholly served on time.' }),
    linesLate: t.exposeInt('linesLate', {
      nullable: true,
      description:
        'Order lines that are wholly served, but some of it late. Absent: an older comparison did not count.',
    }),
    linesUnserved: t.exposeInt('linesUnserved', {
      nullable: true,
      description: 'Order lines that are not wholly served. Absent: an older comparison did not count.',
    }),
    brokenPromises: t.exposeInt('brokenPromises', {
      description: 'Promised lines that are served after their day or not wholly (F2).',
    }),
    brews: t.exposeInt('brews', { description: 'Brews of the plan (V1).' }),
    litresDumped: t.exposeFloat('litresDumped', { description: 'Litres that are poured away.' }),
  }),
})
