/** Written by scales.design.mjs from the dictionary of scales of the `tonal` library. Read by the spec and by the kernel. */

/** Names of 12-tone scales; several may name the same notes. */
export const scaleNames = [
  'major pentatonic',
  'pentatonic',
  'major',
  'ionian',
  'minor',
  'aeolian',
  'major blues',
  'minor blues',
  'blues',
  'melodic minor',
  'harmonic minor',
  'bebop',
  'diminished',
  'whole-half diminished',
  'dorian',
  'lydian',
  'mixolydian',
  'dominant',
  'phrygian',
  'locrian',
  'ionian pentatonic',
  'mixolydian pentatonic',
  'indian',
  'ritusen',
  'egyptian',
  'neapolitan major pentatonic',
  'vietnamese 1',
  'pelog',
  'kumoijoshi',
  'hirajoshi',
  'iwato',
  'in-sen',
  'lydian pentatonic',
  'chinese',
  'malkos raga',
  'locrian pentatonic',
  'minor seven flat five pentatonic',
  'minor pentatonic',
  'vietnamese 2',
  'minor six pentatonic',
  'flat three pentatonic',
  'kumoi',
  'flat six pentatonic',
  'mystic pentatonic',
  'whole tone pentatonic',
  'lydian #5p pentatonic',
  'lydian dominant pentatonic',
  'minor #7m pentatonic',
  'super locrian pentatonic',
  'minor hexatonic',
  'augmented',
  'piongio',
  'prometheus neapolitan',
  'prometheus',
  'mystery #1',
  'six tone symmetric',
  'whole tone',
  'limited transposition 1',
  'limited transposition 5',
  'locrian major',
  'arabian',
  'double harmonic lydian',
  'altered',
  'super locrian',
  'diminished whole tone',
  'locrian #2',
  'half-diminished',
  'aeolian b5',
  'mixolydian b6',
  'melodic minor fifth mode',
  'hindu',
  'lydian dominant',
  'lydian b7',
  'overtone',
  'lydian augmented',
  'dorian b2',
  'phrygian #6',
  'melodic minor second mode',
  'ultralocrian',
  'superlocrian bb7',
  'superlocrian diminished',
  'locrian 6',
  'locrian natural 6',
  'locrian sharp 6',
  'augmented heptatonic',
  'dorian #4',
  'ukrainian dorian',
  'romanian minor',
  'altered dorian',
  'lydian diminished',
  'leading whole tone',
  'lydian minor',
  'phrygian dominant',
  'spanish',
  'phrygian major',
  'balinese',
  'neapolitan major',
  'harmonic major',
  'double harmonic major',
  'gypsy',
  'hungarian minor',
  'hungarian major',
  'oriental',
  'flamenco',
  'todi raga',
  'persian',
  'enigmatic',
  'major augmented',
  'major #5',
  'ionian augmented',
  'ionian #5',
  'lydian #9',
  'limited transposition 4',
  'purvi raga',
  'spanish heptatonic',
  'bebop minor',
  'bebop major',
  'bebop locrian',
  'minor bebop',
  'ichikosucho',
  'minor six diminished',
  'half-whole diminished',
  'dominant diminished',
  'limited transposition 2',
  'kafi raga',
  'limited transposition 6',
  'composite blues',
  'limited transposition 3',
  'limited transposition 7',
  'chromatic',
];

/** The notes of each scale: bit k stands for k semitones above the root. */
export const scaleMasks = [
  0b001010010101, // major pentatonic
  0b001010010101, // pentatonic
  0b101010110101, // major
  0b101010110101, // ionian
  0b010110101101, // minor
  0b010110101101, // aeolian
  0b001010011101, // major blues
  0b010011101001, // minor blues
  0b010011101001, // blues
  0b101010101101, // melodic minor
  0b100110101101, // harmonic minor
  0b111010110101, // bebop
  0b101101101101, // diminished
  0b101101101101, // whole-half diminished
  0b011010101101, // dorian
  0b101011010101, // lydian
  0b011010110101, // mixolydian
  0b011010110101, // dominant
  0b010110101011, // phrygian
  0b010101101011, // locrian
  0b100010110001, // ionian pentatonic
  0b010010110001, // mixolydian pentatonic
  0b010010110001, // indian
  0b001010100101, // ritusen
  0b010010100101, // egyptian
  0b010001110001, // neapolitan major pentatonic
  0b000110101001, // vietnamese 1
  0b000110001011, // pelog
  0b000110100011, // kumoijoshi
  0b000110001101, // hirajoshi
  0b010001100011, // iwato
  0b010010100011, // in-sen
  0b100011010001, // lydian pentatonic
  0b100011010001, // chinese
  0b010100101001, // malkos raga
  0b010001101001, // locrian pentatonic
  0b010001101001, // minor seven flat five pentatonic
  0b010010101001, // minor pentatonic
  0b010010101001, // vietnamese 2
  0b001010101001, // minor six pentatonic
  0b001010001101, // flat three pentatonic
  0b001010001101, // kumoi
  0b000110010101, // flat six pentatonic
  0b001010010011, // mystic pentatonic
  0b010101010001, // whole tone pentatonic
  0b100101010001, // lydian #5p pentatonic
  0b010011010001, // lydian dominant pentatonic
  0b100010101001, // minor #7m pentatonic
  0b010001011001, // super locrian pentatonic
  0b100010101101, // minor hexatonic
  0b100110011001, // augmented
  0b011010100101, // piongio
  0b011001010011, // prometheus neapolitan
  0b011001010101, // prometheus
  0b010101010011, // mystery #1
  0b001100110011, // six tone symmetric
  0b010101010101, // whole tone
  0b010101010101, // limited transposition 1
  0b100011100011, // limited transposition 5
  0b010101110101, // locrian major
  0b010101110101, // arabian
  0b100111010011, // double harmonic lydian
  0b010101011011, // altered
  0b010101011011, // super locrian
  0b010101011011, // diminished whole tone
  0b010101101101, // locrian #2
  0b010101101101, // half-diminished
  0b010101101101, // aeolian b5
  0b010110110101, // mixolydian b6
  0b010110110101, // melodic minor fifth mode
  0b010110110101, // hindu
  0b011011010101, // lydian dominant
  0b011011010101, // lydian b7
  0b011011010101, // overtone
  0b101101010101, // lydian augmented
  0b011010101011, // dorian b2
  0b011010101011, // phrygian #6
  0b011010101011, // melodic minor second mode
  0b001101011011, // ultralocrian
  0b001101011011, // superlocrian bb7
  0b001101011011, // superlocrian diminished
  0b011001101011, // locrian 6
  0b011001101011, // locrian natural 6
  0b011001101011, // locrian sharp 6
  0b100110111001, // augmented heptatonic
  0b011011001101, // dorian #4
  0b011011001101, // ukrainian dorian
  0b011011001101, // romanian minor
  0b011011001101, // altered dorian
  0b101011001101, // lydian diminished
  0b110101010101, // leading whole tone
  0b010111010101, // lydian minor
  0b010110110011, // phrygian dominant
  0b010110110011, // spanish
  0b010110110011, // phrygian major
  0b100110101011, // balinese
  0b101010101011, // neapolitan major
  0b100110110101, // harmonic major
  0b100110110011, // double harmonic major
  0b100110110011, // gypsy
  0b100111001101, // hungarian minor
  0b011011011001, // hungarian major
  0b011001110011, // oriental
  0b010011011011, // flamenco
  0b100111001011, // todi raga
  0b100101110011, // persian
  0b110101010011, // enigmatic
  0b101100110101, // major augmented
  0b101100110101, // major #5
  0b101100110101, // ionian augmented
  0b101100110101, // ionian #5
  0b101011011001, // lydian #9
  0b100111100111, // limited transposition 4
  0b100111110011, // purvi raga
  0b010110111011, // spanish heptatonic
  0b011010111101, // bebop minor
  0b101110110101, // bebop major
  0b010111101011, // bebop locrian
  0b110110101101, // minor bebop
  0b101011110101, // ichikosucho
  0b101110101101, // minor six diminished
  0b011011011011, // half-whole diminished
  0b011011011011, // dominant diminished
  0b011011011011, // limited transposition 2
  0b111010111001, // kafi raga
  0b110101110101, // limited transposition 6
  0b011011111101, // composite blues
  0b110111011101, // limited transposition 3
  0b101111101111, // limited transposition 7
  0b111111111111, // chromatic
];
