package world

// This file lists which bounds do not hold yet.

// fails are the bounds of goals that a world is known to break, or not to keep for sure. The list must shrink.
var fails = map[string][]string{
	careful:    {diametersHold, goodStruck},
	clumsy:     {diametersHold, pitchesHold, goodStruck, badPassed},
	rulerOnly:  {diametersHold, pitchesHold, goodStruck, badPassed},
	fractions:  {sureRight, diametersHold, pitchesHold, goodStruck, badPassed, wrongOrders},
	wrongSide:  {sureRight, diametersHold, goodStruck, badPassed, wrongOrders},
	worn:       {diametersHold, goodStruck, badPassed},
	oneHand:    {diametersHold, goodStruck},
	miscounts:  {diametersHold, pitchesHold, goodStruck},
	noTable:    {strangeNamed},
	paddedList: {goodStruck, listsUnread},
	byBoreList: {goodStruck, listsUnread},
	mixtures:   {diametersHold, pitchesHold, goodStruck, wrongOrders, listsUnread},
}
