//! Names of colours.

pub(super) const COLOURS: &str = "\
    azure black blackish blue bluish brown brownish carmine color colored colour coloured \
    cream cream-coloured creamy crimson golden gray grayish green greenish grey greyish \
    lavender lilac magenta maroon mauve olive orange pink pinkish purple purplish red reddish \
    rose rose-coloured rose-pink rosy scarlet silvery tan vermilion violet white whitish \
    yellow yellow-brown yellowish";
