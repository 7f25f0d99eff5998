// The whole schema: every file that registers something on the builder is named here.
import { builder } from './builder.ts'
import './distributor.ts'
import './errors.ts'
import './scalars.ts'
import './site.ts'
import './words.ts'

export const schema = builder.toSchema()
