// What the API says about facts of things: vessels, counts, days that are over.
import { ThingRefInput } from '../thing-ref.ts'
import { CAUSTIC, CAUTION, CO2, type FactWords, why } from './fact-words.ts'

const vessel = { type: ThingRefInput, needed: true, description: 'The vessel.' }

export const THING_WORDS = {
  vesselOut: {
    mutation: 'setVesselOut',
    description: `A vessel is out of service from the day on, with or without beer in it (V3). ${CO2} Release its pressure before it is opened. ${CAUTION}`,
    fields: {
      vessel,
      until: { type: 'LocalDate', description: 'Last day that it is out. Absent: until it is said to be back.' },
      why,
    },
  },
  vesselBack: {
    mutation: 'setVesselBack',
    description: 'A vessel that was out of service is back (V3).',
    fields: { vessel },
  },
  vesselCleaned: {
    mutation: 'recordCleaning',
    description: `A vessel was cleaned: it takes beer from the next day on, however long its turnaround would have lasted (V3). Without it a vessel counts as clean when its turnaround is over. ${CAUSTIC} ${CO2} ${CAUTION}`,
    fields: { vessel },
  },
  batchCounted: {
    mutation: 'countBatch',
    description: 'What is in a vessel was measured: what is missing is lost, what is over is found.',
    fields: {
      batch: { type: ThingRefInput, needed: true, description: 'The batch.' },
      litres: { type: 'Float', needed: true, description: 'Litres that can be drawn (V2); 0 or more.' },
    },
  },
  lotCounted: {
    mutation: 'countLot',
    description: 'The containers of a lot were counted: what is missing is lost, what is over is found.',
    fields: {
      lot: { type: ThingRefInput, needed: true, description: 'The stock lot.' },
      quantity: { type: 'Int', needed: true, description: 'Whole containers at the site; 0 or more.' },
    },
  },
  fillingEnded: {
    mutation: 'endFilling',
    description: 'Filling is over for the day at a site: nothing more is planned to be filled there that day (L1).',
    fields: { site: { type: ThingRefInput, needed: true, description: 'The site.' } },
  },
  routeEnded: {
    mutation: 'endRoute',
    description: 'A route is closed for the day: nothing more leaves on it that day (D1).',
    fields: { route: { type: ThingRefInput, needed: true, description: 'The route.' } },
  },
} as const satisfies Record<string, FactWords>
