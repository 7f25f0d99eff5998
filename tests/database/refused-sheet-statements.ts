// By constraint: what the database refuses of the set-up that sheets need.
import { set } from './set-statement.ts'

function window({ n = 1, weekdays = 'ARRAY[1]', from = '08:00', to = '10:00' }): string {
  return `INSERT INTO "AccountWindow" SELECT "distributorId", "id", ${n}, ${weekdays}, '${from}', '${to}' FROM "Account" LIMIT 1`
}

export const REFUSED_ON_SHEETS: Record<string, string[]> = {
  Beer_gravityEqualWithin_check: [set('Beer', '"gravityEqualWithin" = 0.02')],
  Beer_originalGravity_check: [
    set('Beer', '"originalGravity" = 1.5'),
    set('Beer', '"originalGravity" = 1.01, "finalGravity" = 1.02'),
  ],
  Beer_abv_check: [set('Beer', '"abv" = 26')],
  Beer_allergens_check: [set('Beer', `"allergens" = '{""}'`)],
  ContainerType_tareKg_check: [set('ContainerType', '"tareKg" = 0')],
  ContainerType_pressureBar_check: [set('ContainerType', '"pressureBar" = 21')],
  Pack_finings_check: [set('Pack', '"finingsMl" = 10')],
  Pack_carbonation_check: [
    set('Pack', '"targetCarbonation" = 7'),
    set('Pack', '"leastCarbonation" = 2, "mostCarbonation" = 1'),
  ],
  Pack_hopsPerLitre_check: [set('Pack', '"hopsPerLitre" = 0')],
  Account_notes_check: [set('Account', `"notes" = ''`)],
  AccountRoute_position_check: [set('AccountRoute', '"position" = 0')],
  AccountWindow_n_check: [window({ n: 0 })],
  AccountWindow_times_check: [window({ from: '25:00' }), window({ to: '07:00' })],
  AccountWindow_weekdays_check: [window({ weekdays: 'ARRAY[0]' })],
}
