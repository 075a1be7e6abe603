/** Questions about what may be a slip of the keyboard. Days are told as they are typed. */
import { lines } from '../lines.ts'

export const questions = {
  'long before today': '{$on} is {$days :figure} days before today, {$today}. Is that the day?',
  'long before today, meant': '{$on} is {$days :figure} days before today, {$today}. Is it {$meant}?',
  'long after today': '{$on} is {$days :figure} days after today, {$today}. Is that the day?',
  'long after today, meant': '{$on} is {$days :figure} days after today, {$today}. Is it {$meant}?',
  'before service': '{$on} is before {$since}, the first day of service of {$stickId}. Is that the day?',
  'before service, meant': '{$on} is before {$since}, the first day of service of {$stickId}. Is it {$meant}?',
  'before the last test': '{$on} is {$days :figure} days before its last test, on {$last}. Is that the day?',
  'before the last test, meant': '{$on} is {$days :figure} days before its last test, on {$last}. Is it {$meant}?',
  'another is there': '{$stickId} is not at the bench; {$other} is. Is it that one?',
  'two others are there': '{$stickId} is not at the bench; {$one} and {$two} are. Is it one of these?',
  'three others are there': '{$stickId} is not at the bench; {$one}, {$two} and {$three} are. Is it one of these?',
  'length in feet': lines(
    'The readings reach {$reached :length} of the {$length :length} on the register, and {$feet :figure} feet are',
    '{$inMetres :length}. Is it on the register in feet?',
  ),
  'length of a section in feet': lines(
    'The readings reach {$reached :length} of the {$length :length} of section {$section} on the register, and',
    '{$feet :figure} feet are {$inMetres :length}. Is it on the register in feet?',
  ),
  'check slipped': lines(
    'The {$state :word of=state} check {$when :word of=when} the readings reads {$reads :figure} µA where the',
    'procedure asks for {$asked :figure} µA. Is it {$meant :figure}?',
  ),
  'water slipped': lines(
    'The water conducts {$conducts :figure} µS/cm; the procedure allows {$most :figure} and that of the last test,',
    'on {$last}, conducted {$was :figure}. Is it {$meant :figure}?',
  ),
  'air slipped': lines(
    'The air was {$celsius :figure} °C; the procedure asks for {$from :figure} to {$to :figure} °C. Is it {$meant',
    ':figure}?',
  ),
  'kilovolts slipped':
    '{$kilovolts :figure} kV where the last test, on {$last}, applied {$was :figure} kV. Is it {$meant :figure}?',
  'far from its neighbours':
    '{$place} reads {$reads :figure} µA where its neighbours read about {$usual :figure} µA. Is that right?',
  'far from its neighbours, meant':
    '{$place} reads {$reads :figure} µA where its neighbours read about {$usual :figure} µA. Is it {$meant :figure}?',
  'off from the last test': lines(
    '{$place} reads {$reads :figure} µA where the last test, on {$last}, read {$was :figure} µA. Is it {$meant',
    ':figure}?',
  ),
  'ten times the last test': lines(
    '{$place}, {$count :figure} of {$of :figure} readings are about ten times what the last test, on {$last}, read',
    'there. Is the decimal right?',
  ),
  'a tenth of the last test': lines(
    '{$place}, {$count :figure} of {$of :figure} readings are about a tenth of what the last test, on {$last}, read',
    'there. Is the decimal right?',
  ),
} as const
