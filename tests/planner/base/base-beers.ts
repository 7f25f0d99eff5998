// The beers of the base problem: a pale ale in three packs, and a stout.
import type { ProblemDocument } from '../../../src/planner/documents/index.ts'

/** A fresh copy of them. */
export function beers(): ProblemDocument['beers'] {
  return [
    {
      // 168 hours from 18:00 end at 18:00 seven days later, after that day's fills: ready on the eighth day (T1).
      id: 'pale',
      style: 'pale ale',
      fermentHours: 96,
      restHours: 24,
      dryHopHours: 0,
      crashHours: 48,
      maxTankDays: 14,
      brightDays: 1,
      maxBrightDays: 10,
      maxOpenDays: 5,
      lossFraction: 0.05,
      vesselIds: ['FV1', 'FV2'],
      setupWeight: 1.5,
      packs: [
        {
          id: 'pale-cask',
          containerTypeId: 'firkin',
          drawFrom: 'FERMENTER',
          conditioningDays: 3,
          conditionIn: 'WARM',
          settleDays: 2,
          shelfLifeDays: 30,
        },
        {
          id: 'pale-gravity',
          containerTypeId: 'firkin',
          drawFrom: 'FERMENTER',
          conditioningDays: 7,
          conditionIn: 'WARM',
          settleDays: 3,
          shelfLifeDays: 40,
          primed: true,
          primingWindowDays: 5,
        },
        {
          id: 'pale-keg',
          containerTypeId: 'keg',
          drawFrom: 'BRIGHT',
          conditioningDays: 2,
          settleDays: 0,
          shelfLifeDays: 60,
        },
      ],
    },
    {
      id: 'dark',
      style: 'stout',
      fermentHours: 120,
      restHours: 48,
      dryHopHours: 72,
      crashHours: 48,
      maxTankDays: 14,
      brightDays: 2,
      maxBrightDays: 10,
      lossFraction: 0.08,
      packs: [
        {
          id: 'dark-cask',
          containerTypeId: 'firkin',
          drawFrom: 'FERMENTER',
          conditioningDays: 5,
          settleDays: 3,
          shelfLifeDays: 42,
        },
      ],
    },
  ]
}
