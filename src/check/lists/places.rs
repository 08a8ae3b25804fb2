//! Where a plant grows: directions and regions, words of range; and what a title says of both place
//! and season.

pub(super) const REGIONS: &str = "\
    alp alpine archipelago arctic boreal central coast coastal continent country county \
    district east eastern highland inland island lowland mediterranean montane mountain north \
    north-east north-eastern north-west north-western northeast northeastern northern \
    northward northwest northwestern peninsula plateau province region south south-east \
    south-eastern south-west south-western southeast southeastern southern southward southwest \
    southwestern state subalpine temperate tropic tropical valley west western westward";

pub(super) const RANGES: &str = "\
    distributed distribution endemic indigenous native naturalised naturalized range \
    restricted";

pub(super) const PREPOSITIONS: &str = "\
    and around at by confined found from growing in known mainly near northward occurring of \
    on only or part southward the throughout to within";

pub(super) const SCOPES: &str = "\
    about along among around at between from in near of on round within";

pub(super) const SEASONS: &str = "\
    autumn flower flowering fruit fruiting leafless seed seedling spring sterile summer \
    vegetative winter";
