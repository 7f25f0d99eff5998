// What the API says about facts of containers: filled ones, and empties.
import { builder } from '../builder.ts'
import { ThingRefInput } from '../thing-ref.ts'
import { CAUTION, CO2, type FactWords, why } from './fact-words.ts'

const lot = { type: ThingRefInput, needed: true, description: 'The stock lot.' }
const site = { type: ThingRefInput, needed: true, description: 'The site.' }
const ofFleet = {
  site,
  containerType: { type: ThingRefInput, needed: true, description: 'The container type.' },
}
const some = (description = 'Whole containers, 1 or more.') => ({ type: 'Int' as const, needed: true, description })

const IssuedTo = builder.enumType('IssuedTo', {
  description: 'Where containers went without an order.',
  values: {
    OWN_BAR: { description: "To the brewery's own bar." },
    SAMPLE: { description: 'Drawn as samples.' },
    BREAKAGE: { description: 'Broken: the containers are scrapped.' },
  },
})

const EmptyState = builder.enumType('EmptyState', {
  description: 'How an empty container stands at its site.',
  values: { CLEAN: { description: 'Washed, to be filled.' }, DIRTY: { description: 'Come back and not washed.' } },
})

export const CONTAINER_WORDS = {
  filled: {
    mutation: 'recordFill',
    description: `Containers were filled: it takes litres of the batch and clean containers, makes or grows the lot, keeps the lot for the lines that the run was promised to, and takes the run out of the plan (L1 to L4). ${CO2} Never exceed a container's rated pressure. ${CAUTION}`,
    fields: {
      fillRun: {
        type: 'String',
        description:
          'The planned run that it carries out: its id or its name within the plan. What is not given is as planned. Absent: it was not planned; give batch and pack.',
      },
      batch: { type: ThingRefInput, description: 'The batch. Absent: as planned.' },
      pack: { type: ThingRefInput, description: 'The pack. Absent: as planned.' },
      filler: { type: ThingRefInput, description: 'The filler. Absent: as planned; without one, no set-up is lost.' },
      quantity: some('Whole containers that are good; 0 or more.'),
      spoiled: { type: 'Int', description: 'Whole containers that were filled and spoiled. Absent: 0.' },
      litresLost: { type: 'Float', description: 'Litres lost besides, such as fobbing; 0 or more. Absent: 0.' },
      emptied: {
        type: 'Boolean',
        description:
          'Whether the vessel was emptied: what remained is then lost, and cleaning counts from that day (V3). Absent: where the plan drew its last.',
      },
      more: {
        type: 'Boolean',
        description: 'Whether more of the run is to come. Absent: false; a lesser quantity leaves nothing planned.',
      },
    },
  },
  lotQuarantined: {
    mutation: 'quarantineLot',
    description: 'A lot is kept back: none of it may leave until it is released. It keeps its room (S1, V8).',
    fields: { lot, why },
  },
  lotReleased: {
    mutation: 'releaseLot',
    description: 'A lot that was kept back may leave again (V8).',
    fields: { lot },
  },
  lotDestroyed: {
    mutation: 'destroyLot',
    description: `Containers of a lot were emptied away. Vent pressure before anything is opened. ${CAUTION}`,
    fields: {
      lot,
      quantity: { type: 'Int', description: 'Whole containers, 1 or more. Absent: all that were there.' },
      keepsContainers: {
        type: 'Boolean',
        description: 'Whether the containers are kept, to be washed. Absent: true; false scraps them.',
      },
    },
  },
  issued: {
    mutation: 'recordIssue',
    description: 'Containers of a lot left without an order.',
    fields: { lot, quantity: some(), to: { type: IssuedTo, needed: true, description: 'Where they went.' } },
  },
  returned: {
    mutation: 'recordReturn',
    description: 'Empties came back from an account; they are dirty until they are washed (C1).',
    fields: {
      ...ofFleet,
      account: { type: ThingRefInput, needed: true, description: 'The account that they came from.' },
      quantity: some(),
      unfit: { type: 'Int', description: 'How many of them are unfit and scrapped; at most `quantity`. Absent: 0.' },
    },
  },
  washed: {
    mutation: 'recordWashed',
    description: `Dirty containers were washed and are clean (C1). Hot caustic and acid burn: wear protection, and never mix the two. ${CAUTION}`,
    fields: { ...ofFleet, quantity: some() },
  },
  bought: {
    mutation: 'recordBought',
    description: 'Containers were bought and are clean (C1).',
    fields: { ...ofFleet, quantity: some() },
  },
  scrapped: {
    mutation: 'recordScrapped',
    description: 'Empty containers were scrapped. Vent pressure before anything is opened or cut.',
    fields: { ...ofFleet, quantity: some(), from: { type: EmptyState, needed: true, description: 'How they stood.' } },
  },
  containersLost: {
    mutation: 'recordLostContainers',
    description: 'Containers are lost: clean ones, or those of an account.',
    fields: {
      ...ofFleet,
      quantity: some(),
      account: { type: ThingRefInput, description: 'The account that had them. Absent: clean ones of the site.' },
    },
  },
  containersFound: {
    mutation: 'recordFoundContainers',
    description: 'Containers were found that the records did not know.',
    fields: {
      ...ofFleet,
      quantity: some(),
      clean: { type: 'Boolean', needed: true, description: 'Whether they are clean; false: to be washed.' },
    },
  },
  foreignContainers: {
    mutation: 'recordForeignContainers',
    description: "Another owner's containers came in. They count in no fleet.",
    fields: {
      site,
      quantity: some(),
      owner: { type: 'String', needed: true, description: 'Whose they are, 1 to 200 characters.' },
      account: { type: ThingRefInput, description: 'The account that they came from. Absent: not known.' },
    },
  },
  fleetCounted: {
    mutation: 'countFleet',
    description:
      'The clean containers of a type at a site were counted: what is missing is lost, what is over is found.',
    fields: { ...ofFleet, quantity: some('Whole clean containers, 0 or more.') },
  },
} as const satisfies Record<string, FactWords>
