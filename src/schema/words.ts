// The enumerations of the records, with what each value means.
import { builder } from './builder.ts'

export const VesselKind = builder.enumType('VesselKind', {
  description: 'What a vessel is for. Brews go into fermenters, transfers into bright vessels (V6).',
  values: {
    FERMENTER: { description: 'A tank in which beer ferments, rests, is dry hopped and crashed.' },
    BRIGHT: { description: 'A tank that takes finished beer from a fermenter before the fill.' },
  },
})

export const ContainerKind = builder.enumType('ContainerKind', {
  description: 'What a container is. A filler sets up once for each batch and container kind a day (L1).',
  values: {
    CASK: { description: 'A cask, served by handpull or gravity.' },
    KEG: { description: 'A keg, served by gas.' },
  },
})

export const Climate = builder.enumType('Climate', {
  description: 'Where a filled container stands (S1).',
  values: {
    COLD: { description: 'The cold store.' },
    WARM: { description: 'The warm store, for containers that condition warm.' },
  },
})

export const BetterPlans = builder.enumType('BetterPlans', {
  description:
    'What becomes of a plan that costs less than the plan in force; one is looked for after facts and each night.',
  values: {
    NEVER: { description: 'None is looked for.' },
    OFFERED: { description: 'It is kept as a draft that the planner may adopt.' },
    ADOPTED: {
      description:
        'It comes into force by itself where it breaks no promise and leaves alone what is frozen or fixed, today and the next fill day; else it is offered.',
    },
  },
})

export const UnsaidWork = builder.enumType('UnsaidWork', {
  description: 'What becomes of planned work on a day that is over and that no fact has carried out.',
  values: {
    ASSUMED: { description: 'It is taken to have happened as planned, listed to confirm or correct.' },
    DUE_UNTIL_SAID: { description: 'It stays due until someone says what happened; plans take it as done.' },
  },
})

export const FiningsPer = builder.enumType('FiningsPer', {
  description: 'The volume of beer that a rate of finings is for.',
  values: {
    HECTOLITRE: { description: 'A hectolitre, 100 L.' },
    US_BEER_BARREL: { description: 'A US beer barrel, 117.347765304 L.' },
    IMPERIAL_BARREL: { description: 'An imperial barrel, 163.65924 L.' },
  },
})

export const SugarKind = builder.enumType('SugarKind', {
  description: 'A sugar that primes.',
  values: {
    SUCROSE: { description: 'Table sugar.' },
    GLUCOSE: { description: 'Dextrose without water.' },
    GLUCOSE_MONOHYDRATE: { description: 'Dextrose with its water, as it is mostly sold.' },
  },
})
