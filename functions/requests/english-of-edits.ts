/**
 * Sentences of the API on proposals, likely slips and procedures, in English and metres. Few requests need one, so that
 * this is loaded with the first that does.
 */
import { procedureWarnings } from '../../shared-domain/bench-test/procedure-warnings.ts'
import { english } from '../../shared-domain/catalogue/en/language.ts'
import { questions } from '../../shared-domain/catalogue/en/questions.ts'
import { warnings } from '../../shared-domain/catalogue/en/warnings.ts'
import { ways } from '../../shared-domain/catalogue/en/ways.ts'
import type { Way } from '../../shared-domain/loosening/way.ts'
import type { Procedure } from '../../shared-domain/registers.ts'
import type { Question } from '../../shared-domain/slips/question.ts'
import { questionIn, warningIn, wayIn, wordingIn } from '../../shared-domain/wording.ts'

const wording = wordingIn(english, 'metric', { ...ways, ...questions, ...warnings })

export const shownWay = (way: Way) => ({ ...way, text: wayIn(wording, way) })
export const shownQuestion = (question: Question) => ({ ...question, text: questionIn(wording, question) })
export const shownWarnings = (procedure: Procedure) =>
  procedureWarnings(procedure).map((warning) => ({ ...warning, text: warningIn(wording, warning) }))
