// What the API says about facts of beer in vessels.
import { builder } from '../builder.ts'
import { ThingRefInput } from '../thing-ref.ts'
import { CAUTION, CO2, type FactWords, why } from './fact-words.ts'

const batch = { type: ThingRefInput, needed: true, description: 'The batch.' }

const Ingredient = builder.inputType('BrewIngredientInput', {
  description: 'An ingredient lot that went into a brew.',
  fields: (t) => ({
    name: t.string({ required: true, description: 'The ingredient, 1 to 200 characters.' }),
    lot: t.string({ required: true, description: "The supplier's lot, 1 to 200 characters." }),
    amount: t.string({ description: 'How much, with its unit, 1 to 200 characters. Absent: not said.' }),
  }),
})

const Blended = builder.inputType('BlendedBatchInput', {
  description: 'A batch of which beer goes into a blend.',
  fields: (t) => ({
    batch: t.field({ type: ThingRefInput, required: true, description: 'The batch.' }),
    litres: t.float({ description: 'Litres of it; above 0. Absent: all that is known to be left.' }),
    emptied: t.boolean({
      description:
        'Whether its vessel is empty then: what remains is lost. Absent: true where `litres` is not given, else false.',
    }),
  }),
})

const newCode = {
  type: 'String' as const,
  description: 'The code of the new batch, 1 to 200 characters. Absent: one is made.',
}

/** Facts that say no more of a batch than that. */
const simple = (mutation: string, description: string): FactWords => ({
  ...{ mutation, description },
  fields: { batch },
})

export const BEER_WORDS = {
  brewed: {
    mutation: 'recordBrew',
    description:
      'A brew was made: it becomes a batch, with the id of the planned brew in the plan in force and in every draft (V1, V2).',
    fields: {
      brew: {
        type: 'String',
        description:
          'The planned brew that it carries out: its id or its name within the plan. What is not given is as planned. Absent: it was not planned; give beer, vessel and litres.',
      },
      beer: { type: ThingRefInput, description: 'The beer. Absent: as planned.' },
      vessel: { type: ThingRefInput, description: 'The fermenter that it went into (V6). Absent: as planned.' },
      code: { type: 'String', description: 'The code of the batch, 1 to 200 characters. Absent: one is made.' },
      litres: {
        type: 'Float',
        description: 'Litres in the fermenter, yeast and trub included (V2); above 0. Absent: as planned.',
      },
      originalGravity: {
        type: 'Float',
        description: 'Specific gravity before fermentation, 0.98 to 1.2, such as 1.042. Absent: not measured.',
      },
      abv: { type: 'Float', description: 'Alcohol by volume that is expected, per cent, 0 to 25. Absent: not said.' },
      ingredients: { type: [Ingredient], description: 'The ingredient lots; at most 100. Absent: none are said.' },
    },
  },
  reading: {
    mutation: 'recordReading',
    description:
      "A batch was measured: at least one of gravity, temperature, pressure and CO₂. A gravity more than the beer's tolerance above its expected final gravity moves the expected end of fermentation to at least 24 hours later; none moves it earlier (T1).",
    fields: {
      batch,
      gravity: { type: 'Float', description: 'Specific gravity, 0.98 to 1.2, such as 1.010. Absent: not measured.' },
      celsius: { type: 'Float', description: 'Temperature, degrees Celsius, -10 to 50. Absent: not measured.' },
      bar: {
        type: 'Float',
        description: `Pressure above the atmosphere, bar, -1 to 10; relief valves must be set for the vessel. ${CAUTION} Absent: not measured.`,
      },
      co2Volumes: {
        type: 'Float',
        description:
          'Volumes of CO₂ dissolved, 0 to 10, as an instrument shows; it outranks every estimate of a fill sheet. Absent: not measured.',
      },
    },
  },
  dryHopped: simple('recordDryHopping', 'A batch was dry hopped: readings before it prove nothing.'),
  crashBegun: simple('recordCrash', 'The crash of a batch was begun (T1).'),
  ready: simple(
    'recordReady',
    'A person says that a batch is ready: for the plan that outranks what was expected (T1). It proves nothing for priming (V7).',
  ),
  transferred: {
    mutation: 'recordTransfer',
    description: `All of a batch was moved to another vessel, a bright vessel or another fermenter (V6). Vessels under pressure and carbon dioxide injure. ${CAUTION}`,
    fields: {
      batch,
      transfer: {
        type: 'String',
        description:
          'The planned transfer that it carries out: its id or its name within the plan. Absent: the one that is planned of the batch, where there is one.',
      },
      vessel: { type: ThingRefInput, description: 'The vessel that it went into. Absent: as planned.' },
      litres: {
        type: 'Float',
        description: 'Litres that arrived there; what is missing is lost. Absent: not measured.',
      },
    },
  },
  partTransferred: {
    mutation: 'recordPartTransfer',
    description: `A part of a batch was moved to another vessel and is a batch of its own, ready and kept back as that one is (V6, V8). Vessels under pressure and carbon dioxide injure. ${CAUTION}`,
    fields: {
      batch,
      vessel: { type: ThingRefInput, needed: true, description: 'The vessel that it went into, which must be empty.' },
      litres: { type: 'Float', needed: true, description: 'Litres that went there; above 0.' },
      emptied: {
        type: 'Boolean',
        description: 'Whether the vessel that it came from is empty then: what remains is lost. Absent: false.',
      },
      code: newCode,
    },
  },
  blended: {
    mutation: 'recordBlend',
    description: `Beer of several batches went into one vessel and is a batch of its own: ready when the last of them is, kept back where one of them is (V6, V8). Vessels under pressure and carbon dioxide injure. ${CAUTION}`,
    fields: {
      batches: { type: [Blended], needed: true, description: 'The batches, at least 2; at most 20.' },
      vessel: {
        type: ThingRefInput,
        needed: true,
        description:
          'The vessel that they went into: an empty one, or that of one of them, all of which is in the blend.',
      },
      beer: {
        type: ThingRefInput,
        description: 'The beer that it is. Absent: that of the batches, where they are of one.',
      },
      code: newCode,
    },
  },
  dumped: {
    mutation: 'recordDump',
    description: `Beer of a batch was poured away. ${CO2} What runs to a drain may need consent. ${CAUTION}`,
    fields: {
      batch,
      litres: { type: 'Float', description: 'Litres; above 0. Absent: all that was left, and the vessel is empty.' },
    },
  },
  batchQuarantined: {
    mutation: 'quarantineBatch',
    description: 'A batch is kept back: nothing is filled from it until it is released (V8).',
    fields: { batch, why },
  },
  batchReleased: simple('releaseBatch', 'A batch that was kept back may be used again (V8).'),
} as const satisfies Record<string, FactWords>
