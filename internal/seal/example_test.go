package seal_test

import (
	"crypto/rand"
	"errors"
	"fmt"
	"log"

	"larkrow.example/stillroom/internal/seal"
)

// The maker lets someone in and publishes; the reader needs the ring, the page and the code.
func Example() {
	door, err := seal.NewDoor(rand.Reader, seal.Rounds)
	if err != nil {
		log.Fatal(err)
	}
	code, err := seal.NewCode(rand.Reader)
	if err != nil {
		log.Fatal(err)
	}
	list := []seal.Member{door.Admit(code)} // the code goes to the member and is not kept

	ring, err := door.Ring(list)
	if err != nil {
		log.Fatal(err)
	}
	sealed, err := door.ContentKey().Seal("recipes/rose-cream/index.html", "text/html", []byte("Rose cream: …"))
	if err != nil {
		log.Fatal(err)
	}

	published, err := seal.ParseRing(ring.JSON())
	if err != nil {
		log.Fatal(err)
	}
	key, err := published.Unlock(code)
	if err != nil {
		log.Fatal(err)
	}
	plain, err := key.Open("recipes/rose-cream/index.html", "text/html", sealed)
	fmt.Println(string(plain), err)
	// Output: Rose cream: … <nil>
}

func ExampleParseCode() {
	for _, typed := range []string{"o1234 56789 abcde fghjk j", "01234-56789-ABCDE-FGHKJ-J", "01234-56789"} {
		code, err := seal.ParseCode(typed)
		fmt.Println(code, err, errors.Is(err, seal.ErrSlip))
	}
	// Output:
	// 01234-56789-ABCDE-FGHJK-J <nil> false
	//  a sign is mistyped or missing true
	//  a sign is mistyped or missing: there should be 21 signs true
}

// A removed member's code opens nothing that is sealed in the next epoch; the others keep theirs.
func ExampleDoor_NextEpoch() {
	door, err := seal.NewDoor(rand.Reader, 1000) // fewer rounds than a real door has
	if err != nil {
		log.Fatal(err)
	}
	var codes [2]seal.Code
	var list [2]seal.Member
	for i := range codes {
		if codes[i], err = seal.NewCode(rand.Reader); err != nil {
			log.Fatal(err)
		}
		list[i] = door.Admit(codes[i])
	}

	door = door.NextEpoch()
	ring, err := door.Ring(list[:1])
	if err != nil {
		log.Fatal(err)
	}
	for _, code := range codes {
		_, err := ring.Unlock(code)
		fmt.Println(err)
	}
	// Output:
	// <nil>
	// no member has this access code
}

func ExampleDoor_Name() {
	door, err := seal.NewDoor(rand.Reader, seal.Rounds)
	if err != nil {
		log.Fatal(err)
	}
	name := door.Name("pictures/rose-cream.jpg")
	fmt.Println(len(name), name == door.NextEpoch().Name("pictures/rose-cream.jpg"))
	// Output: 24 true
}
